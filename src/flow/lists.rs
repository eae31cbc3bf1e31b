//! Lists by number, without one allocation each.

/// A list for each number, end to end.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Lists<T> {
    pub(super) starts: Vec<u32>,
    pub(super) items: Vec<T>,
}

impl<T: Copy> Lists<T> {
    /// Sorts items by number; those of one number stay in their order.
    pub(super) fn new(count: usize, items: impl Iterator<Item = (u32, T)> + Clone) -> Lists<T> {
        let mut starts = vec![0; count + 1];
        for (number, _) in items.clone() {
            starts[number as usize + 1] += 1;
        }
        for i in 0..count {
            starts[i + 1] += starts[i];
        }
        let mut next = starts.clone();
        let mut sorted: Vec<T> = Vec::new();
        if let Some((_, any)) = items.clone().next() {
            sorted.resize(starts[count] as usize, any);
        }
        for (number, item) in items {
            let at = &mut next[number as usize];
            sorted[*at as usize] = item;
            *at += 1;
        }
        Lists {
            starts,
            items: sorted,
        }
    }

    /// How many lists there are.
    pub(super) fn count(&self) -> usize {
        self.starts.len() - 1
    }

    pub(super) fn range(&self, number: usize) -> std::ops::Range<usize> {
        self.starts[number] as usize..self.starts[number + 1] as usize
    }

    pub(super) fn of(&self, number: usize) -> &[T] {
        &self.items[self.range(number)]
    }

    pub(super) fn items(&self) -> &[T] {
        &self.items
    }

    fn each(&self) -> impl Iterator<Item = (u32, T)> + Clone {
        let numbers = 0..self.count();
        numbers.flat_map(|n| self.of(n).iter().map(move |item| (n as u32, *item)))
    }
}

impl Lists<u32> {
    /// From items to numbers.
    pub(super) fn turned(&self) -> Lists<u32> {
        let count = self.count();
        Lists::new(count, self.each().map(|(number, item)| (item, number)))
    }
}
