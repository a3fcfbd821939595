//! Names and their values: `let`, `param`, and what a pattern's arguments bind.

use super::value::Value;
use crate::source::Span;
use crate::syntax::tree::Expr;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// A scope. Values are computed when first asked for, so lines may stand in any order.
#[derive(Debug, Default)]
pub struct Env {
    parent: Option<Rc<Env>>,
    slots: RefCell<BTreeMap<String, Slot>>,
}

/// The state of a name.
#[derive(Clone, Debug)]
pub enum Slot {
    /// Not yet computed: what to compute, and in which scope.
    Todo(Expr, Option<Rc<Env>>),
    /// Being computed: meeting it again is a cycle.
    Busy,
    /// Its value.
    Done(Value),
    /// Reported already.
    Bad,
}

/// A name with the scope that binds it.
pub struct Found {
    /// The scope that binds it.
    pub env: Rc<Env>,
    /// Its state.
    pub slot: Slot,
}

impl Env {
    /// A scope within another.
    pub fn within(parent: &Rc<Env>) -> Rc<Env> {
        Rc::new(Env {
            parent: Some(parent.clone()),
            slots: RefCell::default(),
        })
    }

    /// Binds a name to an expression of this scope, or of `of` if given. A later binding replaces.
    pub fn bind(&self, name: &str, expr: Expr, of: Option<Rc<Env>>) {
        self.slots
            .borrow_mut()
            .insert(name.to_owned(), Slot::Todo(expr, of));
    }

    /// Sets the state of a name.
    pub fn set(&self, name: &str, slot: Slot) {
        self.slots.borrow_mut().insert(name.to_owned(), slot);
    }

    /// Whether this very scope binds the name.
    pub fn binds(&self, name: &str) -> bool {
        self.slots.borrow().contains_key(name)
    }

    /// The nearest binding of a name.
    pub fn find(self: &Rc<Env>, name: &str) -> Option<Found> {
        let mut env = self;
        loop {
            if let Some(slot) = env.slots.borrow().get(name) {
                return Some(Found {
                    env: env.clone(),
                    slot: slot.clone(),
                });
            }
            env = env.parent.as_ref()?;
        }
    }

    /// Every name that can be seen from here.
    pub fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = self.slots.borrow().keys().cloned().collect();
        if let Some(parent) = &self.parent {
            names.extend(parent.names());
        }
        names
    }
}

/// A name of a path with its indices: `tray[2]`.
#[derive(Clone, Debug)]
pub struct Segment {
    /// The name.
    pub name: String,
    /// Its indices, from 1.
    pub index: Vec<u32>,
    /// Where.
    pub span: Span,
}
