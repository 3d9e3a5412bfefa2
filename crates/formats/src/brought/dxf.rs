//! Entities of a DXF drawing: lines, arcs, circles, polylines, points and triangles, layer by layer.

use std::collections::BTreeMap;

use basis::math::tan;
use basis::{Note, Place};
use ground::{P2, P3};

use super::chains::{Piece, joined};
use super::groups::{Group, groups};
use super::{Brought, FARTHEST, FileKind, Layers, LengthUnit, ReadOptions, Ring, Spot};
use crate::job_toml::Findings;
use crate::quantity::shown;

/// Reads a drawing.
pub(super) fn read(text: &str, options: &ReadOptions, f: &mut Findings) -> Option<Brought> {
    let groups = groups(text, f);
    let Some(unit) = options.unit.or_else(|| header_unit(&groups)) else {
        let hint = format!("say which: {}", LengthUnit::words().join(", "));
        f.notes.push(Note::fault(
            "unit-not-stated",
            Place::job(),
            "the drawing does not say its unit of length",
            hint,
        ));
        return None;
    };
    let metres = unit.one().in_metres();
    let mut reading = Reading {
        metres,
        close: options.close.in_metres().clamp(1e-6, 1.0),
        pieces: BTreeMap::new(),
        layers: Layers::default(),
        skipped: BTreeMap::new(),
        f,
    };
    let entities = section(&groups, "ENTITIES");
    if entities.is_empty() {
        let hint = "check that this is the right file";
        reading.f.notes.push(Note::fault("empty-drawing", Place::job(), "the drawing has no entities", hint));
    }
    let mut at = 0;
    while at < entities.len() {
        at = reading.entity(entities, at);
        if reading.layers.spots > super::MOST_SPOTS {
            return None;
        }
    }
    reading.join();
    reading.tell_skipped();
    Some(Brought { kind: FileKind::Dxf, unit, layers: reading.layers.holding() })
}

/// The groups of a section, without its head and end.
fn section<'g, 't>(groups: &'g [Group<'t>], name: &str) -> &'g [Group<'t>] {
    let is_head = |pair: &[Group<'_>]| {
        pair[0].code == 0 && pair[0].value == "SECTION" && pair[1].code == 2 && pair[1].value == name
    };
    let Some(start) = groups.windows(2).position(is_head) else { return &[] };
    let inside = &groups[start + 2..];
    let end = inside.iter().position(|g| g.code == 0 && g.value == "ENDSEC").unwrap_or(inside.len());
    &inside[..end]
}

fn header_unit(groups: &[Group<'_>]) -> Option<LengthUnit> {
    let header = section(groups, "HEADER");
    let at = header.iter().position(|group| group.code == 9 && group.value == "$INSUNITS")?;
    let value = header.get(at + 1).filter(|group| group.code == 70)?;
    LengthUnit::of_header(value.value.parse().ok()?)
}

struct Reading<'f> {
    metres: f64,
    close: f64,
    /// Lines and arcs by the number of their layer.
    pieces: BTreeMap<usize, Vec<Piece>>,
    layers: Layers,
    /// What is not read, by its kind.
    skipped: BTreeMap<String, usize>,
    f: &'f mut Findings,
}

/// One entity's own groups.
struct Entity<'g, 't> {
    kind: &'g Group<'t>,
    groups: &'g [Group<'t>],
}

impl<'g, 't> Entity<'g, 't> {
    fn find(&self, code: i32) -> Option<&'g Group<'t>> {
        self.groups.iter().find(|group| group.code == code)
    }
    fn layer(&self) -> &'t str {
        self.find(8).map_or("0", |group| group.value)
    }
    fn flags(&self) -> i64 {
        self.find(70).and_then(|group| group.value.parse().ok()).unwrap_or(0)
    }
}

/// How an entity's own plan lies to the drawing's: most are the same, some are seen from below.
#[derive(Clone, Copy, PartialEq)]
enum Seen {
    FromAbove,
    FromBelow,
}

impl Reading<'_> {
    /// Reads the entity that begins at `at`; gives the place of the next.
    fn entity(&mut self, all: &[Group<'_>], at: usize) -> usize {
        let mut end = next(all, at);
        let entity = Entity { kind: &all[at], groups: &all[at + 1..end] };
        let mut vertices = Vec::new();
        if entity.kind.code == 0 && entity.kind.value == "POLYLINE" {
            while all.get(end).is_some_and(|group| group.code == 0 && group.value == "VERTEX") {
                let after = next(all, end);
                vertices.push(Entity { kind: &all[end], groups: &all[end + 1..after] });
                end = after;
            }
            if all.get(end).is_some_and(|group| group.code == 0 && group.value == "SEQEND") {
                end = next(all, end);
            } else {
                let hint = "the file was changed by hand: save it anew";
                self.fault(entity.kind, "drawing-cut-off", "a polyline does not end", hint);
            }
        }
        // Sheets are drawn in a space of their own.
        if entity.find(67).is_some_and(|group| group.value == "1") {
            self.skip("of the sheet");
            return end;
        }
        let read = match entity.kind.value {
            "LINE" => self.line(&entity),
            "ARC" => self.arc(&entity),
            "CIRCLE" => self.circle(&entity),
            "LWPOLYLINE" => self.light(&entity),
            "POLYLINE" => self.polyline(&entity, &vertices),
            "POINT" => self.point(&entity),
            "3DFACE" => self.face(&entity),
            other => {
                self.skip(&shown(other));
                Some(())
            }
        };
        // A fault was told at its line; what it spoils is left out.
        let _ = read;
        end
    }

    fn fault(&mut self, group: &Group<'_>, code: &'static str, message: impl Into<String>, hint: &str) {
        self.f.fault(code, &group.place(), &group.at, message, hint);
    }

    fn skip(&mut self, what: &str) {
        *self.skipped.entry(what.to_owned()).or_default() += 1;
    }

    /// A number of an entity.
    fn number(&mut self, entity: &Entity<'_, '_>, code: i32) -> Option<f64> {
        match entity.find(code) {
            Some(group) => self.finite(group),
            None => {
                let message =
                    format!("{} on line {} lacks its group {code}", entity.kind.value, entity.kind.line);
                self.fault(entity.kind, "group-missing", message, "save the drawing anew");
                None
            }
        }
    }

    fn finite(&mut self, group: &Group<'_>) -> Option<f64> {
        let value = group.value.parse::<f64>().ok().filter(|value| value.is_finite());
        if value.is_none() {
            let message = format!("\"{}\" is no number", shown(group.value));
            self.fault(group, "drawing-number", message, "save the drawing anew");
        }
        value
    }

    /// A coordinate, m.
    fn metres(&mut self, group: &Group<'_>) -> Option<f64> {
        let value = self.finite(group)? * self.metres;
        if value.abs() > FARTHEST {
            let message = format!("{} is over 10,000 km from the drawing's origin", shown(group.value));
            self.fault(group, "spot-out-of-range", message, "check the drawing and its unit");
            return None;
        }
        Some(value)
    }

    fn length(&mut self, entity: &Entity<'_, '_>, code: i32) -> Option<f64> {
        match entity.find(code) {
            Some(group) => self.metres(group),
            None => self.number(entity, code),
        }
    }

    /// The spot of the groups `code`, `code + 10`, `code + 20`; the last is nought where it is not stated.
    fn spot(&mut self, entity: &Entity<'_, '_>, code: i32) -> Option<P3> {
        let (x, y) = (self.length(entity, code), self.length(entity, code + 10));
        let z = match entity.find(code + 20) {
            Some(group) => self.metres(group),
            None => Some(0.0),
        };
        Some(P3 { x: x?, y: y?, z: z? })
    }

    fn plan(&mut self, entity: &Entity<'_, '_>, code: i32) -> Option<P2> {
        let spot = self.spot(entity, code)?;
        Some(P2::new(spot.x, spot.y))
    }

    /// From which side an entity is seen; nothing for one that stands aslant, which is told.
    fn seen(&mut self, entity: &Entity<'_, '_>) -> Option<Seen> {
        let part =
            |code: i32, without: f64| entity.find(code).map_or(Some(without), |g| g.value.parse().ok());
        let toward = (part(210, 0.0), part(220, 0.0), part(230, 1.0));
        match toward {
            (Some(x), Some(y), Some(z)) if f64::abs(x) < 1e-9 && f64::abs(y) < 1e-9 && z > 0.0 => {
                Some(Seen::FromAbove)
            }
            (Some(x), Some(y), Some(z)) if f64::abs(x) < 1e-9 && f64::abs(y) < 1e-9 && z < 0.0 => {
                Some(Seen::FromBelow)
            }
            _ => {
                self.skip(&format!("{} aslant", entity.kind.value));
                None
            }
        }
    }

    fn piece(&mut self, layer: &str, piece: Piece) {
        if self.layers.count(1, self.f) {
            self.layers.named(layer);
            let number = self.layers.by_name[layer];
            self.pieces.entry(number).or_default().push(piece);
        }
    }

    fn line(&mut self, entity: &Entity<'_, '_>) -> Option<()> {
        let (a, b) = (self.plan(entity, 10), self.plan(entity, 11));
        self.piece(entity.layer(), Piece { a: a?, b: b?, bulge: 0.0 });
        Some(())
    }

    fn arc(&mut self, entity: &Entity<'_, '_>) -> Option<()> {
        let seen = self.seen(entity)?;
        let (centre, radius) = (self.plan(entity, 10), self.length(entity, 40));
        let (from, to) = (self.number(entity, 50), self.number(entity, 51));
        let (centre, radius, from, to) = (centre?, radius?, from?, to?);
        let sweep = (to - from).rem_euclid(360.0);
        if radius <= 0.0 || sweep == 0.0 {
            self.fault(
                entity.kind,
                "arc-impossible",
                "an arc has no radius or no angle",
                "mend it in the drawing",
            );
            return None;
        }
        let on = |degrees: f64| {
            let angle = degrees.to_radians();
            centre + P2::new(basis::math::cos(angle), basis::math::sin(angle)) * radius
        };
        let piece = Piece { a: on(from), b: on(from + sweep), bulge: tan(sweep.to_radians() / 4.0) };
        self.piece(entity.layer(), turned(piece, seen));
        Some(())
    }

    fn circle(&mut self, entity: &Entity<'_, '_>) -> Option<()> {
        let seen = self.seen(entity)?;
        let (centre, radius) = (self.plan(entity, 10), self.length(entity, 40));
        let (centre, radius) = (centre?, radius?);
        if radius <= 0.0 {
            self.fault(entity.kind, "arc-impossible", "a circle has no radius", "mend it in the drawing");
            return None;
        }
        if self.layers.count(1, self.f) {
            let centre = if seen == Seen::FromBelow { P2::new(-centre.x, centre.y) } else { centre };
            self.layers.named(entity.layer()).circles.push((centre, radius));
        }
        Some(())
    }

    /// A light polyline: its vertices stand among its own groups.
    fn light(&mut self, entity: &Entity<'_, '_>) -> Option<()> {
        let seen = self.seen(entity)?;
        let mut vertices: Vec<(P2, f64)> = Vec::new();
        let mut is_whole = true;
        let mut x = None;
        for group in entity.groups {
            match group.code {
                10 => x = self.metres(group),
                20 => match x.take().zip(self.metres(group)) {
                    Some((x, y)) => vertices.push((P2::new(x, y), 0.0)),
                    None => is_whole = false,
                },
                42 => match (self.finite(group), vertices.last_mut()) {
                    (Some(bulge), Some(vertex)) => vertex.1 = bulge,
                    _ => is_whole = false,
                },
                _ => {}
            }
        }
        let is_closed = entity.flags() & 1 == 1;
        if is_whole { self.ring_or_chain(entity, vertices, seen, is_closed) } else { None }
    }

    /// A polyline of the old kind: its vertices follow it.
    fn polyline(&mut self, entity: &Entity<'_, '_>, vertices: &[Entity<'_, '_>]) -> Option<()> {
        let flags = entity.flags();
        if flags & (8 | 16 | 64) != 0 {
            self.skip(if flags & 8 != 0 { "POLYLINE in space" } else { "POLYLINE as a mesh" });
            return Some(());
        }
        let seen = self.seen(entity)?;
        // Control points of curves (16) and points that a curve was fitted by (1) are no corners.
        let corners = vertices.iter().filter(|vertex| vertex.flags() & 16 == 0);
        let read: Vec<Option<(P2, f64)>> = corners
            .map(|vertex| {
                let at = self.plan(vertex, 10);
                let bulge = vertex.find(42).map_or(Some(0.0), |group| self.finite(group));
                at.zip(bulge)
            })
            .collect();
        let vertices: Option<Vec<(P2, f64)>> = read.into_iter().collect();
        self.ring_or_chain(entity, vertices?, seen, flags & 1 == 1)
    }

    fn ring_or_chain(
        &mut self,
        entity: &Entity<'_, '_>,
        mut vertices: Vec<(P2, f64)>,
        seen: Seen,
        is_closed: bool,
    ) -> Option<()> {
        if !self.layers.count(vertices.len(), self.f) {
            return None;
        }
        if seen == Seen::FromBelow {
            vertices.iter_mut().for_each(|(at, bulge)| (at.x, *bulge) = (-at.x, -*bulge));
        }
        let ends_meet = vertices.len() > 3
            && vertices.first().zip(vertices.last()).is_some_and(|(a, b)| a.0.distance(b.0) <= self.close);
        if ends_meet {
            vertices.pop();
        }
        if is_closed || ends_meet {
            let (corners, bulges) = vertices.into_iter().unzip();
            self.layers.named(entity.layer()).rings.push(Ring { corners, bulges, gap: 0.0 });
            return Some(());
        }
        for pair in vertices.windows(2) {
            self.piece(entity.layer(), Piece { a: pair[0].0, b: pair[1].0, bulge: pair[0].1 });
        }
        Some(())
    }

    fn point(&mut self, entity: &Entity<'_, '_>) -> Option<()> {
        let at = self.spot(entity, 10)?;
        if self.layers.count(1, self.f) {
            self.layers.named(entity.layer()).spots.push(Spot { name: None, at });
        }
        Some(())
    }

    /// A face of three corners, or of four as two triangles.
    fn face(&mut self, entity: &Entity<'_, '_>) -> Option<()> {
        let corners = [10, 11, 12].map(|code| self.spot(entity, code));
        let [a, b, c] = [corners[0]?, corners[1]?, corners[2]?];
        let fourth = if entity.find(13).is_some() { self.spot(entity, 13)? } else { c };
        if self.layers.count(3, self.f) {
            let faces = &mut self.layers.named(entity.layer()).faces;
            faces.push([a, b, c]);
            if fourth != c && fourth != a {
                faces.push([a, c, fourth]);
            }
        }
        Some(())
    }

    fn join(&mut self) {
        for (layer, pieces) in std::mem::take(&mut self.pieces) {
            let (rings, open) = joined(&pieces, self.close);
            self.layers.all[layer].rings.extend(rings);
            self.layers.all[layer].open += open;
        }
    }

    fn tell_skipped(&mut self) {
        if !self.skipped.is_empty() {
            let kinds: Vec<String> =
                self.skipped.iter().take(12).map(|(kind, count)| format!("{count} {kind}")).collect();
            let message = format!("not read: {}", kinds.join(", "));
            self.f.notes.push(Note::remark("drawing-in-part", Place::job(), message));
        }
    }
}

/// A piece seen from below: right and left change sides.
fn turned(piece: Piece, seen: Seen) -> Piece {
    let other = |p: P2| P2::new(-p.x, p.y);
    match seen {
        Seen::FromAbove => piece,
        Seen::FromBelow => Piece { a: other(piece.a), b: other(piece.b), bulge: -piece.bulge },
    }
}

/// Where the next entity begins.
fn next(all: &[Group<'_>], at: usize) -> usize {
    all[at + 1..].iter().position(|group| group.code == 0).map_or(all.len(), |after| at + 1 + after)
}
