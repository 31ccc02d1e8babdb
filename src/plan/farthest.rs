//! The marks that lie farthest apart.

use super::FloorPlan;

impl FloorPlan {
    /// The two marks farthest apart, and the two farthest apart of all others, by their indices: two tapes that say whether
    /// something long lies straight. None with fewer than two marks, one pair with fewer than four.
    #[must_use]
    pub fn farthest_pairs(&self) -> Vec<(usize, usize)> {
        let mut pairs: Vec<(usize, usize)> = Vec::new();
        for _ in 0..2 {
            let is_free = |mark: &usize| {
                pairs
                    .iter()
                    .all(|(one, other)| one != mark && other != mark)
            };
            let free: Vec<usize> = (0..self.marks.len()).filter(is_free).collect();
            let of_free = free
                .iter()
                .enumerate()
                .flat_map(|(index, &one)| free[index + 1..].iter().map(move |&other| (one, other)));
            let length =
                |pair: &(usize, usize)| self.marks[pair.0].at.distance(self.marks[pair.1].at);
            // Of equally long ones the first, whichever way the comparison falls.
            let longest = of_free.reduce(|a, b| if length(&b) > length(&a) { b } else { a });
            pairs.extend(longest);
        }
        pairs
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        job::{TEMPLATES, VEHICLES},
        template::TemplateSpec,
        vehicle::VehicleSpec,
    };

    #[test]
    fn the_farthest_marks_of_a_rectangle_are_its_diagonals() {
        let vehicle = VehicleSpec::read(&VEHICLES[4].source()).unwrap();
        let template = TemplateSpec::read(&TEMPLATES[0].source()).unwrap();
        let plan = FloorPlan::resolve(&vehicle, &template, &[], None).unwrap();
        let pairs = plan.farthest_pairs();
        let names: Vec<[&str; 2]> = pairs
            .iter()
            .map(|&(one, other)| [one, other].map(|mark| plan.marks[mark].id.as_str()))
            .collect();
        assert_eq!(names, [["1L", "4R"], ["1R", "4L"]]);
    }
}
