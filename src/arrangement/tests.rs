use proptest::prelude::*;

use super::leaders::{cross, leaders};
use super::places::{Arrangement, Stands};
use super::sheet::{Mark, Sheet};
use super::steps::{Direction, next};
use super::view::{View, Window};
use crate::boat::{EngineStands, Point};
use crate::checklist::{FirstPlaces, Library};
use crate::defects::Subject;

fn point() -> impl Strategy<Value = Point> {
    (-70i16..210, -90i16..90, 0i16..110).prop_map(|(x, y, z)| Point { x, y, z })
}

/// Every item of the catalogue at its first place.
fn first() -> Arrangement {
    let (table, catalogue) = (FirstPlaces::built_in(), &Library::built_in().catalogue);
    let places = catalogue.items().iter().map(|item| super::Place {
        subject: Subject {
            item: item.id.clone(),
            machine: None,
        },
        point: table.of(item, catalogue).1,
        is_asked: false,
    });
    let boxes = table.bodies().iter().map(|body| super::Box3 {
        title: body.title.clone(),
        from: body.from,
        to: body.to,
        machine: None,
        thing: None,
    });
    Arrangement {
        places: places.collect(),
        boxes: boxes.collect(),
    }
}

fn drawn(arrangement: &Arrangement, view: View, size: (usize, usize), width: usize) -> Sheet {
    let marks = arrangement.places.iter().map(|place| Mark {
        point: place.point,
        width,
    });
    let marks: Vec<Mark> = marks.collect();
    Sheet::of(&Window::on(arrangement, view), arrangement, &marks, size)
}

#[test]
fn all_items_have_a_mark_of_their_own_on_a_screen_of_eighty_columns() {
    let all = first();
    for view in View::ALL {
        let sheet = drawn(&all, view, (78, 18), 1);
        assert!(sheet.marks.iter().all(Option::is_some), "{view:?}");
    }
}

#[test]
fn what_is_forward_is_to_the_left_and_starboard_is_up_from_above() {
    let port = Point {
        x: 10,
        y: -30,
        z: 20,
    };
    let starboard = Point {
        x: 10,
        y: 30,
        z: 20,
    };
    let aft = Point { x: 90, y: 0, z: 80 };
    assert!(View::Above.project(starboard).1 < View::Above.project(port).1);
    assert!(View::Above.project(port).0 < View::Above.project(aft).0);
    assert!(
        View::Side.project(aft).1 < View::Side.project(port).1,
        "above is up from the side"
    );
}

proptest! {
    #[test]
    fn mirrored_or_turned_twice_an_engine_stands_as_it_did(
        at in point(),
        turned in any::<bool>(),
        mirrored in any::<bool>(),
    ) {
        let stands = Stands::of(EngineStands { turned, mirrored }, true, Point::default());
        prop_assert_eq!(stands.put(stands.put(at)), at);
        let beside = Stands::of(EngineStands { turned, mirrored }, false, Point::default());
        prop_assert_eq!(beside.put(at), at, "what is not on the engine stays");
    }

    #[test]
    fn no_mark_and_no_title_stands_on_another(
        points in prop::collection::vec((point(), 1usize..6), 0..60),
        size in (8usize..150, 3usize..45),
        from_above in any::<bool>(),
    ) {
        let view = if from_above { View::Above } else { View::Side };
        let all = first();
        let marks: Vec<Mark> = points.iter().map(|(point, width)| Mark { point: *point, width: *width }).collect();
        let sheet = Sheet::of(&Window::on(&all, view), &all, &marks, size);
        let mut cells = vec![0; size.0 * size.1];
        let titles = sheet.titles.iter().map(|(column, row, title)| (*column, *row, title.len()));
        let placed = sheet.marks.iter().zip(&marks).filter_map(|(at, mark)| at.map(|(c, r)| (c, r, mark.width)));
        for (column, row, wide) in titles.chain(placed) {
            prop_assert!(column + wide <= size.0 && row < size.1);
            for cell in &mut cells[row * size.0 + column..row * size.0 + column + wide] {
                *cell += 1;
                prop_assert_eq!(*cell, 1);
            }
            if let Some(behind) = cells.get(row * size.0 + column + wide).filter(|_| column + wide < size.0) {
                prop_assert_eq!(*behind, 0, "a column is free behind it");
            }
        }
    }

    #[test]
    fn no_leader_crosses_another_and_no_label_stands_on_another(
        places in prop::collection::vec((100.0f64..500.0, 0.0f64..300.0), 0..40),
    ) {
        let found = leaders(&places, (90.0, 510.0), 300.0, 14.0);
        let line = |n: usize| {
            let edge = if found[n].left { 90.0 } else { 510.0 };
            ((edge, found[n].label), places[n])
        };
        for a in 0..places.len() {
            for b in a + 1..places.len() {
                prop_assert!(!cross(line(a), line(b)), "{:?} {:?}", line(a), line(b));
                let apart = (found[a].label - found[b].label).abs();
                prop_assert!(found[a].left != found[b].left || apart > 13.99);
            }
        }
        prop_assert!(found.iter().all(|leader| leader.label > 6.9));
    }

    #[test]
    fn an_arrow_goes_where_it_points(points in prop::collection::vec(point(), 2..30), from in 0usize..30) {
        let from = from % points.len();
        for direction in Direction::ALL {
            if let Some(to) = next(&points, from, direction, View::Above) {
                let (a, b) = (View::Above.project(points[from]), View::Above.project(points[to]));
                let (right, down) = direction.step();
                let on = (b.0 - a.0) * f64::from(right) + (b.1 - a.1) * f64::from(down);
                prop_assert!(on > 0.0 || a == b);
            }
        }
    }
}

/// Arrows go to the nearest place, so that in some throw of points one could be passed by for ever; not in
/// what the built-in checklists ask, phase by phase.
#[test]
fn arrows_lead_to_every_place_of_a_phase() {
    let (all, library) = (first(), Library::built_in());
    let lists = library.checklists().iter().flat_map(|list| &list.phases);
    for phase in lists {
        let items = phase.rows.iter().flat_map(|row| &row.items);
        let points = items.filter_map(|item| {
            let subject = Subject {
                item: item.clone(),
                machine: None,
            };
            all.places
                .iter()
                .find(|place| place.subject == subject)
                .map(|place| place.point)
        });
        let points: Vec<Point> = points.collect();
        for (view, from) in View::ALL
            .into_iter()
            .flat_map(|v| (0..points.len()).map(move |n| (v, n)))
        {
            let mut seen = vec![false; points.len()];
            let mut open = vec![from];
            while let Some(at) = open.pop() {
                if !std::mem::replace(&mut seen[at], true) {
                    open.extend(
                        Direction::ALL
                            .into_iter()
                            .filter_map(|d| next(&points, at, d, view)),
                    );
                }
            }
            assert!(
                seen.iter().all(|seen| *seen),
                "{} {view:?} from {from}",
                phase.id
            );
        }
    }
}
