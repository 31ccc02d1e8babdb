//! What somebody wrote into the forms of a kit, kept when the kit is made again.

use super::{Carried, Form, Kit};
use crate::{output::OutputSet, source::Faults};

/// What became of a form that lay in the folder.
#[derive(Clone, Copy, Debug)]
pub enum Kept<'a> {
    /// It was of another job and is replaced.
    OfAnotherJob,
    /// What was written into it was carried over.
    Carried(&'a Carried),
}

/// Why a form that lies in the folder is not replaced.
#[derive(Debug)]
pub enum FormRefused {
    /// It cannot be read, so that nobody knows what is in it.
    Unread(Faults),
    /// It has readings that the new form has no place for.
    RowsLost(Carried),
}

impl Kit {
    /// Puts into the forms among the files of a kit what somebody wrote into those that lie in the folder, `old`; `said` hears of
    /// each. With `replace` goes what cannot be kept. A form of another job is replaced with whatever is in it: whether that may be is the
    /// caller's to ask before.
    ///
    /// # Errors
    /// The first form that would lose something.
    pub fn keep_forms(
        &self,
        files: &mut OutputSet,
        old: impl Fn(Form) -> Option<Vec<u8>>,
        of_another_job: bool,
        replace: bool,
        mut said: impl FnMut(Form, Kept<'_>),
    ) -> Result<(), (Form, FormRefused)> {
        for form in Form::ALL {
            let name = form.file();
            let (Some(new), Some(old)) = (files.bytes(name), old(form)) else {
                continue;
            };
            let new = String::from_utf8_lossy(new).into_owned();
            let carried = if of_another_job {
                Ok(None)
            } else {
                form.carry(&old, &new, &self.job.plan)
            };
            let carried = match carried {
                Ok(carried) => carried,
                Err(_) if replace => None,
                Err(faults) => return Err((form, FormRefused::Unread(faults))),
            };
            let Some(carried) = carried else {
                if of_another_job {
                    said(form, Kept::OfAnotherJob);
                }
                files.put_over(name, new);
                continue;
            };
            if !carried.lost.is_empty() && !replace {
                return Err((form, FormRefused::RowsLost(carried)));
            }
            said(form, Kept::Carried(&carried));
            files.put_over(name, carried.text);
        }
        Ok(())
    }
}
