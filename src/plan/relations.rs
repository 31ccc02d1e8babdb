//! Things defined by one another: resolved in any order, circles refused.

use super::fault::{OrderFault, PlanFault};
use crate::source::{Fault, Placed, nearest};

/// Named things of one kind, each defined by others.
pub(super) struct Relations<'n, T> {
    kind: &'static str,
    names: &'n [&'n str],
    /// Names that are not resolved here but that the definitions know as well, for the messages.
    also: &'n [&'n str],
    state: Vec<Progress<T>>,
}

#[derive(Clone)]
enum Progress<T> {
    Untouched,
    /// Being resolved: whoever asks for it now stands in a circle.
    Open,
    /// Its fault has been told.
    Failed,
    Done(T),
}

/// How a definition asks for the thing of a name.
pub(super) type Ask<'a, T> = dyn FnMut(&Placed<String>, &mut Vec<Fault>) -> Option<T> + 'a;

impl<'n, T: Clone> Relations<'n, T> {
    /// Things of a `kind` ("station") by their names.
    pub(super) fn new(kind: &'static str, names: &'n [&'n str], also: &'n [&'n str]) -> Self {
        Self {
            kind,
            names,
            also,
            state: vec![Progress::Untouched; names.len()],
        }
    }

    /// Every thing, in order; `None` after all faults have been left.
    pub(super) fn resolve_all(
        &mut self,
        faults: &mut Vec<Fault>,
        define: impl Fn(usize, &mut Ask<'_, T>, &mut Vec<Fault>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let all: Vec<Option<T>> = (0..self.names.len())
            .map(|index| self.resolve(index, &define, faults))
            .collect();
        all.into_iter().collect()
    }

    fn resolve(
        &mut self,
        index: usize,
        define: &impl Fn(usize, &mut Ask<'_, T>, &mut Vec<Fault>) -> Option<T>,
        faults: &mut Vec<Fault>,
    ) -> Option<T> {
        if let Progress::Done(done) = &self.state[index] {
            return Some(done.clone());
        }
        if matches!(self.state[index], Progress::Failed) {
            return None;
        }
        self.state[index] = Progress::Open;
        let made = define(
            index,
            &mut |name, faults| self.ask(name, define, faults),
            faults,
        );
        self.state[index] = made.clone().map_or(Progress::Failed, Progress::Done);
        made
    }

    fn ask(
        &mut self,
        name: &Placed<String>,
        define: &impl Fn(usize, &mut Ask<'_, T>, &mut Vec<Fault>) -> Option<T>,
        faults: &mut Vec<Fault>,
    ) -> Option<T> {
        let kind = self.kind;
        let Some(index) = self.names.iter().position(|known| *known == name.value) else {
            let known: Vec<&str> = self.also.iter().chain(self.names).copied().collect();
            faults.push(name.place.fault(PlanFault::NotDeclared {
                kind,
                name: name.value.clone(),
                nearest: nearest(&name.value, &known).map(str::to_owned),
                known: known.into_iter().map(str::to_owned).collect(),
            }));
            return None;
        };
        if matches!(self.state[index], Progress::Open) {
            faults.push(name.place.fault(OrderFault::Circle {
                kind,
                name: name.value.clone(),
            }));
            return None;
        }
        self.resolve(index, define, faults)
    }
}
