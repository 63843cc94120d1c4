//! What a value is made of, for a form: the same declarations without JSON.

/// What a value is made of.
#[derive(Debug, Clone)]
pub(crate) enum Shape {
    Single(Single),
    Group(Vec<Part>),
    /// A group with a key of its own for each entry.
    Keyed {
        key: Single,
        entry: Box<Shape>,
    },
    /// A list; with `alone`, one entry may stand without a list.
    List {
        item: Box<Shape>,
        alone: bool,
    },
    /// A value alone, or a group of it with where the author has it from.
    Stated(Vec<Part>),
    /// Any of these; the first stands for what is not written yet.
    Either(Vec<Shape>),
}

/// A value in one piece.
#[derive(Debug, Clone, Default)]
pub(crate) struct Single {
    /// The words that a form offers.
    pub(crate) choices: Vec<String>,
    /// Whether anything but these may be written.
    pub(crate) open: bool,
    /// The units that it is written in, as a sentence has them: `in or mm`.
    pub(crate) units: &'static str,
}

/// A field of a group.
#[derive(Debug, Clone)]
pub(crate) struct Part {
    pub(crate) name: String,
    /// What it is for.
    pub(crate) about: String,
    /// How it is written.
    pub(crate) how: String,
    /// What holds when it is left out.
    pub(crate) without: Option<String>,
    /// Whether only some forms of the group have it.
    pub(crate) sometimes: bool,
    pub(crate) shape: Shape,
}

impl Shape {
    /// Any of these; single values and groups become one that takes what each does.
    pub(super) fn either(shapes: impl IntoIterator<Item = Shape>) -> Shape {
        let mut merged: Vec<Shape> = Vec::new();
        for shape in shapes {
            let like = merged.iter_mut().find_map(|known| match (known, &shape) {
                (Shape::Single(known), Shape::Single(other)) => {
                    known.join(other);
                    Some(())
                }
                (Shape::Group(known), Shape::Group(other)) => {
                    join(known, other);
                    Some(())
                }
                _ => None,
            });
            if like.is_none() {
                merged.push(shape);
            }
        }
        match <[Shape; 1]>::try_from(merged) {
            Ok([only]) => only,
            Err(several) => Shape::Either(several),
        }
    }

    /// The same that is written in these units.
    pub(super) fn in_units(mut self, of: &'static str) -> Self {
        if let Shape::Single(single) = &mut self {
            single.units = of;
        }
        self
    }

    /// The same that takes nothing but its words.
    pub(super) fn closed(mut self) -> Self {
        if let Shape::Single(single) = &mut self {
            single.open = false;
        }
        self
    }
}

impl Single {
    fn join(&mut self, other: &Single) {
        for choice in &other.choices {
            if !self.choices.contains(choice) {
                self.choices.push(choice.clone());
            }
        }
        self.open |= other.open;
        if self.units.is_empty() {
            self.units = other.units;
        }
    }
}

/// Adds the fields that another form of a group has.
fn join(known: &mut Vec<Part>, other: &[Part]) {
    let missing = |part: &&mut Part| other.iter().all(|other| other.name != part.name);
    known
        .iter_mut()
        .filter(missing)
        .for_each(|part| part.sometimes = true);
    for part in other {
        match known.iter_mut().find(|known| known.name == part.name) {
            Some(same) => {
                if let (Shape::Single(same), Shape::Single(part)) = (&mut same.shape, &part.shape) {
                    same.join(part);
                }
            }
            None => known.push(Part {
                sometimes: true,
                ..part.clone()
            }),
        }
    }
}

impl Part {
    /// Whether it has to be given.
    pub(crate) fn needed(&self) -> bool {
        self.without.is_none() && !self.sometimes
    }

    /// Whether it is asked of every spec: it is needed, or `check` misses it.
    pub(crate) fn asked(&self) -> bool {
        let missed = |without: &String| {
            let words = ["check reports", "check may", "error"];
            words.iter().any(|words| without.contains(words))
        };
        self.without.as_ref().is_none_or(missed)
    }
}
