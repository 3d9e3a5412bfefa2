//! A part of the report: each field's name, meaning, schema and value stand together.

use basis::{Estimate, Note};
use ground::P2;
use pour::Job;
use serde_json::{Map, Value, json};

use super::units::{self, Unit, list, or_null, refer};

/// What a value is made from besides the thing itself.
pub(super) struct Context<'a> {
    /// The job.
    pub job: &'a Job,
    /// All notes.
    pub notes: &'a [Note],
}

type Get<T> = Box<dyn Fn(&T, &Context<'_>) -> Value>;

struct Field<T> {
    name: &'static str,
    doc: &'static str,
    schema: Value,
    get: Get<T>,
}

/// A part of the report that is made from a `T`.
pub(super) struct Part<T> {
    doc: &'static str,
    fields: Vec<Field<T>>,
}

impl<T: 'static> Part<T> {
    pub fn new(doc: &'static str) -> Self {
        Self { doc, fields: Vec::new() }
    }

    /// Adds a field of any schema.
    pub fn any(
        mut self,
        name: &'static str,
        doc: &'static str,
        schema: Value,
        get: impl Fn(&T, &Context<'_>) -> Value + 'static,
    ) -> Self {
        self.fields.push(Field { name, doc, schema, get: Box::new(get) });
        self
    }

    pub fn text(self, name: &'static str, doc: &'static str, get: impl Fn(&T) -> String + 'static) -> Self {
        self.any(name, doc, json!({ "type": "string" }), move |t, _| get(t).into())
    }

    pub fn word(
        self,
        name: &'static str,
        doc: &'static str,
        words: &[&str],
        get: impl Fn(&T) -> &'static str + 'static,
    ) -> Self {
        self.any(name, doc, json!({ "enum": words }), move |t, _| get(t).into())
    }

    /// A count, or the number or index of something else.
    pub fn count(self, name: &'static str, doc: &'static str, get: impl Fn(&T) -> usize + 'static) -> Self {
        self.any(name, doc, json!({ "type": "integer", "minimum": 0 }), move |t, _| get(t).into())
    }

    pub fn maybe_count(
        self,
        name: &'static str,
        doc: &'static str,
        get: impl Fn(&T) -> Option<u64> + 'static,
    ) -> Self {
        let schema = json!({ "type": ["integer", "null"], "minimum": 0 });
        self.any(name, doc, schema, move |t, _| get(t).map_or(Value::Null, Value::from))
    }

    pub fn quantity<Q: Unit>(
        self,
        name: &'static str,
        doc: &'static str,
        get: impl Fn(&T) -> Q + 'static,
    ) -> Self {
        self.any(name, doc, refer(Q::NAME), move |t, _| units::quantity(get(t)))
    }

    pub fn maybe<Q: Unit>(
        self,
        name: &'static str,
        doc: &'static str,
        get: impl Fn(&T) -> Option<Q> + 'static,
    ) -> Self {
        self.any(name, doc, or_null(&refer(Q::NAME)), move |t, _| get(t).map_or(Value::Null, units::quantity))
    }

    pub fn quantities<Q: Unit + 'static>(
        self,
        name: &'static str,
        doc: &'static str,
        get: impl Fn(&T) -> &[Q] + 'static,
    ) -> Self {
        self.any(name, doc, list(&refer(Q::NAME)), move |t, _| {
            get(t).iter().copied().map(units::quantity).collect()
        })
    }

    pub fn estimate<Q: Unit>(
        self,
        name: &'static str,
        doc: &'static str,
        get: impl Fn(&T) -> Estimate<Q> + 'static,
    ) -> Self {
        self.any(name, doc, refer(&units::estimate_name::<Q>()), move |t, _| units::estimate(get(t)))
    }

    pub fn point(self, name: &'static str, doc: &'static str, get: impl Fn(&T) -> P2 + 'static) -> Self {
        self.any(name, doc, refer("point"), move |t, _| units::point(get(t)))
    }

    pub fn points(self, name: &'static str, doc: &'static str, get: impl Fn(&T) -> &[P2] + 'static) -> Self {
        self.any(name, doc, list(&refer("point")), move |t, _| units::points(get(t)))
    }

    pub fn list<U: 'static>(
        self,
        name: &'static str,
        doc: &'static str,
        part: Part<U>,
        get: impl Fn(&T) -> &[U] + 'static,
    ) -> Self {
        let schema = list(&part.schema());
        self.any(name, doc, schema, move |t, c| get(t).iter().map(|u| part.value(u, c)).collect())
    }

    pub fn part<U: 'static>(
        self,
        name: &'static str,
        doc: &'static str,
        part: Part<U>,
        get: impl Fn(&T) -> &U + 'static,
    ) -> Self {
        self.any(name, doc, part.schema(), move |t, c| part.value(get(t), c))
    }

    pub fn maybe_part<U: 'static>(
        self,
        name: &'static str,
        doc: &'static str,
        part: Part<U>,
        get: impl Fn(&T) -> Option<&U> + 'static,
    ) -> Self {
        let schema = or_null(&part.schema());
        self.any(name, doc, schema, move |t, c| get(t).map_or(Value::Null, |u| part.value(u, c)))
    }

    pub fn value(&self, of: &T, context: &Context<'_>) -> Value {
        let fields = self.fields.iter().map(|field| (field.name.to_owned(), (field.get)(of, context)));
        Value::Object(fields.collect::<Map<_, _>>())
    }

    pub fn schema(&self) -> Value {
        let described = |field: &Field<T>| {
            let mut schema = field.schema.clone();
            if let Value::Object(words) = &mut schema {
                words.insert("description".to_owned(), field.doc.into());
            }
            (field.name, schema)
        };
        units::object(self.doc, &self.fields.iter().map(described).collect::<Vec<_>>())
    }
}
