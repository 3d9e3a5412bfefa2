//! The OpenAPI document of the machine interface [@openapi-3-1], made of its routes and of the schemas that the reports and events have.

use serde_json::{Map, Value, json};

use super::routes::{Asked, Body, Kind, Operation, ROUTES};

/// The document.
///
/// ```
/// let document = web::api::openapi();
/// assert_eq!(document["openapi"], "3.1.0");
/// ```
#[must_use]
pub fn openapi() -> Value {
    let mut paths = Map::new();
    for route in ROUTES {
        let operations =
            route.operations.iter().map(|done| (done.method.to_owned(), operation(route.path, done)));
        paths.insert(route.path.to_owned(), Value::Object(operations.collect()));
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Flatwright",
            "version": env!("CARGO_PKG_VERSION"),
            "summary": "Jobs, events and figures of a concrete flatwork crew.",
        },
        "servers": [{ "url": "/api/v1" }],
        "paths": paths,
        "components": { "schemas": components() },
    })
}

fn operation(path: &str, of: &Operation) -> Value {
    let mut answers = Map::new();
    answers.insert(of.good.to_string(), json!({ "description": of.says, "content": content(of.gives) }));
    for (status, says) in of.others {
        answers.insert(
            status.to_string(),
            json!({ "description": says, "content": content(Body::Json("Problem")) }),
        );
    }
    let mut told = json!({
        "operationId": of.name,
        "summary": of.says,
        "parameters": path_parameters(path).into_iter().chain(of.asked.iter().map(asked)).collect::<Vec<_>>(),
        "responses": answers,
    });
    if let Some(body) = of.takes {
        told["requestBody"] = json!({ "required": true, "content": content(body) });
    }
    told
}

fn path_parameters(path: &str) -> Vec<Value> {
    let names = path.split('{').skip(1).filter_map(|rest| rest.split('}').next());
    names
        .map(|name| {
            let says = if name == "job" {
                "Id of the job, from the list."
            } else {
                "Name of the paper, with `.pdf`."
            };
            let text = json!({ "type": "string", "pattern": "^[A-Za-z0-9._-]{1,80}$" });
            json!({ "name": name, "in": "path", "required": true, "description": says, "schema": text })
        })
        .collect()
}

fn asked(asked: &Asked) -> Value {
    let schema = match asked.kind {
        Kind::Tick => json!({ "type": "integer", "minimum": 0, "maximum": 281_474_976_710_656_u64 }),
        Kind::Texts => json!({ "type": "array", "items": { "type": "string" }, "maxItems": 8 }),
    };
    json!({ "name": asked.name, "in": "query", "required": false, "description": asked.says, "schema": schema })
}

fn content(body: Body) -> Value {
    let refer = |name: &str| json!({ "$ref": format!("#/components/schemas/{name}") });
    let (kind, schema) = match body {
        Body::Json(name) => ("application/json", refer(name)),
        Body::Events => {
            let list = json!({ "type": "array", "items": refer("Event") });
            (
                "application/json",
                json!({ "type": "object", "properties": { "events": list }, "required": ["events"] }),
            )
        }
        Body::Document => ("application/json", json!({ "type": "object" })),
        Body::Text(kind) => (kind, json!({ "type": "string" })),
    };
    json!({ kind: { "schema": schema } })
}

/// The schemas, each with its definitions beside it under names of its own.
fn components() -> Map<String, Value> {
    let mut all = Map::new();
    for (name, mut schema) in formats::api::schemas() {
        if let Some(fields) = schema.as_object_mut() {
            fields.remove("$schema");
            if let Some(Value::Object(definitions)) = fields.remove("$defs") {
                for (own, mut definition) in definitions {
                    led_to(&mut definition, name);
                    all.insert(format!("{name}{own}"), definition);
                }
            }
        }
        led_to(&mut schema, name);
        all.insert(name.to_owned(), schema);
    }
    all
}

/// Lets references to definitions of a schema lead to where they stand in the document.
fn led_to(schema: &mut Value, name: &str) {
    match schema {
        Value::Object(fields) => {
            for (key, value) in fields.iter_mut() {
                match value {
                    Value::String(at) if key == "$ref" => {
                        if let Some(own) = at.strip_prefix("#/$defs/") {
                            *at = format!("#/components/schemas/{name}{own}");
                        }
                    }
                    other => led_to(other, name),
                }
            }
        }
        Value::Array(items) => items.iter_mut().for_each(|item| led_to(item, name)),
        _ => {}
    }
}
