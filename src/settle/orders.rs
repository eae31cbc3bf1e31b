//! Orders of movement to try.

/// Movers of one round that are tried one by one; of more, halves are.
pub(super) const ALONE: usize = 12;

/// Movers of one round that are tried in every order; of more, so many orders are.
pub(super) const FEW: usize = 5;
pub(super) const MORE: usize = FEW + 1;
const SHUFFLED: usize = 100;

/// Groups of movers, one group after another.
pub(super) type Order = Vec<Vec<usize>>;

/// Orders to see whether the others still move alike after some: each first and then the rest; of
/// very many, halves that between them put each before every other.
pub(super) fn firsts(moving: Vec<usize>) -> Vec<Order> {
    let split = |first: &dyn Fn(usize) -> bool| {
        let places = moving.iter().copied().enumerate();
        let (first, rest): (Vec<_>, Vec<_>) = places.partition(|(i, _)| first(*i));
        [first, rest]
            .map(|half| half.into_iter().map(|(_, m)| m).collect())
            .into()
    };
    if moving.len() <= ALONE {
        return (0..moving.len()).map(|i| split(&|at| at == i)).collect();
    }
    // Numbers that differ do so in some bit.
    let bits = usize::BITS - moving.len().leading_zeros();
    let halves = (0..bits).flat_map(|bit| [0, 1].map(|first| split(&|at| at >> bit & 1 == first)));
    halves.collect()
}

/// Some orders of single moves, always the same.
pub(super) fn shuffled(moving: Vec<usize>) -> Vec<Order> {
    let mut seed: u64 = 0x9E37_79B9_7F4A_7C15;
    let mut below = |n: usize| {
        // Marsaglia's xorshift, Journal of Statistical Software 8(14), 2003.
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        (seed % n as u64) as usize
    };
    let order = |_| {
        let mut order = moving.clone();
        (1..order.len()).for_each(|i| order.swap(i, below(i + 1)));
        order.into_iter().map(|m| vec![m]).collect()
    };
    (0..SHUFFLED).map(order).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// However many move, some order has each of two before the other, and their number grows as the
    /// digits do.
    #[test]
    fn each_goes_before_every_other_in_some_order() {
        let moving: Vec<usize> = (0..40).collect();
        assert!(moving.len() > ALONE);
        let orders = firsts(moving.clone());
        assert_eq!(orders.len(), 12);
        let at = |order: &Order, mover| order.iter().position(|half| half.contains(&mover));
        for one in &moving {
            for other in moving.iter().filter(|other| *other != one) {
                let mut orders = orders.iter();
                assert!(orders.any(|order| at(order, *one) < at(order, *other)));
            }
        }
    }
}
