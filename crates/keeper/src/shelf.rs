//! The order of the boxes on the shelf, and how it is changed without dragging.

use crate::book::Keeper;
use crate::failure::NotNoted;
use crate::note::BY;
use crate::view::round::Saved;
use rearing::deed::ShelfOrdered;
use rearing::{Deed, House, RearingBox};
use uuid::Uuid;

/// Where a box is to stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShelfMove {
    /// One place nearer to the door.
    Earlier,
    /// One place further on.
    Later,
    /// At this place, counted from 1.
    Place(usize),
}

/// All open boxes in the order in which they stand: as the keeper put them, the
/// others behind in the order of their opening, and those set apart last.
pub(crate) fn on_shelf(house: &House) -> Vec<&RearingBox> {
    let place = |it: &RearingBox| house.shelf.iter().position(|name| *name == it.name).unwrap_or(usize::MAX);
    let mut boxes: Vec<&RearingBox> = house.boxes.values().filter(|it| it.closed.is_none()).collect();
    boxes.sort_by_key(|it| (it.set_apart.is_some(), place(it), it.opened, it.name.clone()));
    boxes
}

impl Keeper {
    /// Puts a box in another place on the shelf. Among boxes set apart it stays among them.
    ///
    /// # Errors
    /// If there is no such open box, it stands there already, or the book cannot be written.
    pub fn put_on_shelf(&self, name: &str, to: ShelfMove, id: Option<Uuid>) -> Result<Saved, NotNoted> {
        let look = self.look_before(id)?;
        let apart = look.house.open_box(name)?.set_apart.is_some();
        let shelf = on_shelf(&look.house);
        let (mut mine, others): (Vec<&RearingBox>, Vec<&RearingBox>) =
            shelf.into_iter().partition(|it| it.set_apart.is_some() == apart);
        let at = mine.iter().position(|it| it.name == name).unwrap_or(0);
        // Boxes set apart are counted on from the others.
        let before = if apart { others.len() } else { 0 };
        let last = mine.len().saturating_sub(1);
        let to = match to {
            ShelfMove::Earlier => at.saturating_sub(1),
            ShelfMove::Later => (at + 1).min(last),
            ShelfMove::Place(place) => place.saturating_sub(1 + before).min(last),
        };
        if to == at {
            return Err(NotNoted::Refused(format!("box {name} stands there already")));
        }
        let moved = mine.remove(at);
        mine.insert(to, moved);
        let names = |boxes: &[&RearingBox]| boxes.iter().map(|it| it.name.clone()).collect::<Vec<_>>();
        let boxes = if apart {
            [names(&others), names(&mine)].concat()
        } else {
            [names(&mine), names(&others)].concat()
        };
        let says = format!("box {name} now stands at place {}", to + 1 + before);
        let entries = self.note(vec![Deed::ShelfOrdered(ShelfOrdered { boxes })], id, BY)?;
        Ok(Saved { says: vec![says], ids: entries.iter().map(|it| it.id).collect(), misfit: false })
    }
}
