//! Every route of the machine interface: its path, what answers it, and what the document says of it.

use axum::routing::{MethodRouter, get};

use super::{answers, files};
use crate::app::App;

/// A body or an answer.
#[derive(Debug, Clone, Copy)]
pub(super) enum Body {
    /// JSON by the schema of this name.
    Json(&'static str),
    /// A list of events.
    Events,
    /// The document itself.
    Document,
    /// Text or bytes of a kind.
    Text(&'static str),
}

/// A parameter of the query.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    pub name: &'static str,
    pub says: &'static str,
    /// JSON Schema of it.
    pub kind: Kind,
}

/// What a parameter is.
#[derive(Debug, Clone, Copy)]
pub(super) enum Kind {
    /// A tick.
    Tick,
    /// Text, as often as needed.
    Texts,
}

/// What one method of a route does.
#[derive(Debug, Clone, Copy)]
pub(super) struct Operation {
    pub method: &'static str,
    pub name: &'static str,
    pub says: &'static str,
    pub asked: &'static [Asked],
    pub takes: Option<Body>,
    pub gives: Body,
    /// The good answer's status, and what other answers there are.
    pub good: u16,
    pub others: &'static [(u16, &'static str)],
}

/// A route: its path below `/api/v1`.
pub(super) struct Route {
    pub path: &'static str,
    pub handler: fn() -> MethodRouter<App>,
    pub operations: &'static [Operation],
}

const NOT_THERE: (u16, &str) = (404, "There is no such job or paper.");
const NOT_YET: (u16, &str) = (409, "What it rests on is not there yet; the notes say what to do.");
const WORKING: (u16, &str) = (202, "It is being worked out: ask again.");
const UNREADABLE: (u16, &str) = (422, "What was sent cannot be taken; the notes say why.");
const CLASHES: (u16, &str) = (409, "Something else was sent under that id, or it cannot be kept now.");

/// An operation that only reads.
const fn reads(
    name: &'static str,
    says: &'static str,
    gives: Body,
    others: &'static [(u16, &'static str)],
) -> Operation {
    Operation { method: "get", name, says, asked: &[], takes: None, gives, good: 200, others }
}

/// All of them.
pub(super) const ROUTES: &[Route] = &[
    Route {
        path: "/openapi.json",
        handler: || get(answers::document),
        operations: &[reads("document", "This document.", Body::Document, &[])],
    },
    Route {
        path: "/jobs",
        handler: || get(answers::jobs).post(answers::make),
        operations: &[
            reads("listJobs", "All jobs.", Body::Json("JobList"), &[NOT_YET]),
            Operation {
                method: "post",
                takes: Some(Body::Json("NewJob")),
                good: 201,
                others: &[UNREADABLE, CLASHES],
                ..reads(
                    "makeJob",
                    "Makes a job of a job file and the files that it names. Sent again, it is the same job.",
                    Body::Json("Kept"),
                    &[],
                )
            },
        ],
    },
    Route {
        path: "/jobs/{job}",
        handler: || get(answers::state),
        operations: &[reads(
            "readJob",
            "A job as its events have left it.",
            Body::Json("JobState"),
            &[NOT_THERE, NOT_YET],
        )],
    },
    Route {
        path: "/jobs/{job}/job.toml",
        handler: || get(files::toml),
        operations: &[reads(
            "readText",
            "The job file, byte by byte.",
            Body::Text("application/toml"),
            &[NOT_THERE, NOT_YET],
        )],
    },
    Route {
        path: "/jobs/{job}/shots.csv",
        handler: || get(files::shots),
        operations: &[reads(
            "readShots",
            "The shots as a table that a job file can name.",
            Body::Text("text/csv"),
            &[NOT_THERE, NOT_YET],
        )],
    },
    Route {
        path: "/jobs/{job}/floor.dxf",
        handler: || get(files::drawing),
        operations: &[reads(
            "readDrawing",
            "The floor as a drawing (DXF).",
            Body::Text("image/vnd.dxf"),
            &[NOT_THERE, NOT_YET],
        )],
    },
    Route {
        path: "/jobs/{job}/floor.xml",
        handler: || get(files::survey),
        operations: &[reads(
            "readSurvey",
            "Shots, pads and surfaces as a survey (LandXML).",
            Body::Text("application/xml"),
            &[NOT_THERE, NOT_YET],
        )],
    },
    Route {
        path: "/jobs/{job}/events",
        handler: || get(answers::events).post(answers::append),
        operations: &[
            Operation {
                asked: &[Asked { name: "after", says: "Only events with a higher tick.", kind: Kind::Tick }],
                ..reads(
                    "listEvents",
                    "The events of a job, in the order in which they came.",
                    Body::Events,
                    &[NOT_THERE, NOT_YET, UNREADABLE],
                )
            },
            Operation {
                method: "post",
                takes: Some(Body::Json("Event")),
                others: &[NOT_THERE, UNREADABLE, CLASHES],
                ..reads(
                    "appendEvent",
                    "Keeps an event. The answer comes when it is on the disk; sent again, it is the same event.",
                    Body::Json("Kept"),
                    &[],
                )
            },
        ],
    },
    Route {
        path: "/jobs/{job}/plan",
        handler: || get(answers::plan),
        operations: &[reads(
            "plan",
            "The whole plan as a report.",
            Body::Json("Plan"),
            &[NOT_THERE, NOT_YET],
        )],
    },
    Route {
        path: "/jobs/{job}/clock",
        handler: || get(answers::clock),
        operations: &[reads(
            "clock",
            "The finishing clock as a report.",
            Body::Json("Clock"),
            &[WORKING, NOT_THERE, NOT_YET],
        )],
    },
    Route {
        path: "/jobs/{job}/balance",
        handler: || get(answers::balance),
        operations: &[reads(
            "balance",
            "The last-load call from where the log says that the line is.",
            Body::Json("Balance"),
            &[NOT_THERE, NOT_YET],
        )],
    },
    Route {
        path: "/jobs/{job}/price",
        handler: || get(answers::price),
        operations: &[Operation {
            asked: &[Asked {
                name: "option",
                says: "Another way to build it: `5 in, without poly`.",
                kind: Kind::Texts,
            }],
            ..reads(
                "price",
                "The price by the rate book as a report.",
                Body::Json("Price"),
                &[NOT_THERE, NOT_YET, UNREADABLE],
            )
        }],
    },
    Route {
        path: "/jobs/{job}/takeoff",
        handler: || get(answers::takeoff),
        operations: &[reads(
            "takeoff",
            "What to buy, and how it is cut, as a report.",
            Body::Json("Takeoff"),
            &[NOT_THERE, NOT_YET],
        )],
    },
    Route {
        path: "/jobs/{job}/papers",
        handler: || get(answers::papers),
        operations: &[reads(
            "listPapers",
            "The papers that there are.",
            Body::Json("PaperList"),
            &[NOT_THERE, NOT_YET],
        )],
    },
    Route {
        path: "/jobs/{job}/papers/{paper}",
        handler: || get(files::paper),
        operations: &[reads(
            "readPaper",
            "A paper as PDF, by its name of the list with `.pdf`.",
            Body::Text("application/pdf"),
            &[NOT_THERE, NOT_YET],
        )],
    },
];
