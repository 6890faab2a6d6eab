//! Orders that came in, were withdrawn or were changed.

use super::Happened;
use crate::ids::OrderId;
use crate::units::Volume;
use crate::yaml::node::{Fields, Node};
use crate::yaml::{beers, orders, words};

impl Happened<'_> {
    /// Reads `orders: {added: .., withdrawn: .., changed: ..}`. The earlier plan's deliveries follow.
    pub(super) fn orders(&mut self, fields: &Fields) {
        let Some(fields) = fields.optional("orders").and_then(|node| node.fields()) else { return };
        for item in fields.optional("changed").map(|node| node.items(false)).unwrap_or_default() {
            self.changed(&item);
        }
        let withdrawn = fields.optional("withdrawn").map(|node| node.items(true)).unwrap_or_default();
        let mut gone: Vec<OrderId> = withdrawn.iter().filter_map(|node| self.order_of(node)).collect();
        if let Some(node) = fields.optional("added") {
            self.added(&node);
        }
        fields.finish();
        gone.sort_unstable();
        gone.dedup();
        for order in gone.into_iter().rev() {
            self.withdraw(order);
        }
    }

    fn order_of(&self, node: &Node) -> Option<OrderId> {
        let name = node.name()?;
        let found = self.case.orders.iter().position(|order| order.name == name);
        if found.is_none() {
            let names = self.case.orders.iter().map(|order| order.name.as_str());
            beers::unknown(node, "V153", &name, "orders", names);
        }
        found.map(OrderId)
    }

    fn added(&mut self, node: &Node) {
        let known = orders::Known {
            beers: &self.case.beers,
            formats: &self.case.formats,
            calendar: &self.case.calendar,
        };
        let before = self.case.orders.len();
        let all = orders::beside(node, &known, self.case.orders.clone());
        if all[before..].iter().any(|order| order.last_day() < self.day) {
            self.too_early(node);
        }
        self.case.orders = all;
    }

    fn changed(&mut self, item: &Node) {
        let Some(entry) = item.fields() else { return };
        let order = entry.required("name").and_then(|node| self.order_of(&node));
        let quantity_node = entry.optional("quantity");
        let due_node = entry.optional("due");
        let due = due_node.as_ref().and_then(words::date);
        let contents =
            order.map_or(Volume(1), |order| self.case.formats[self.case.order(order).format.0].contents);
        let quantity = quantity_node
            .as_ref()
            .and_then(|node| node.quantity(|text| orders::quantity_of(text, contents), orders::QUANTITY));
        entry.finish();
        if quantity_node.is_none() && due_node.is_none() {
            item.error("V157", "`quantity`, `due` or both", None);
        }
        let Some(order) = order else { return };
        let delivered = self.delivered(order);
        if let (Some(node), Some(quantity)) = (quantity_node, quantity) {
            if quantity < delivered {
                let least = node.units().size(delivered);
                node.error("V154", &format!("at least {least}, which were delivered before"), None);
                return;
            }
            self.case.orders[order.0].quantity = quantity;
        }
        if let (Some(node), Some(due)) = (due_node, due) {
            let due = self.case.calendar.day_of(due);
            if due < self.day || due > self.case.calendar.days() as i64 {
                let (first, last) = (self.day, self.case.calendar.days() as i64);
                let [first, last] = [first, last].map(|day| self.case.calendar.date(day));
                node.error("V151", &format!("a day from {first} to {last}"), None);
                return;
            }
            self.case.orders[order.0].due = due;
        }
        self.fit_deliveries(order);
    }

    /// What of an order was delivered before the day.
    fn delivered(&self, order: OrderId) -> Volume {
        let before = self.plan.deliveries.iter().filter(|one| one.order == order && one.day < self.day);
        before.map(|one| one.volume).fold(Volume::ZERO, |sum, volume| sum + volume)
    }

    /// Takes from the deliveries to come what the order no longer asks for.
    fn fit_deliveries(&mut self, order: OrderId) {
        let mut left = self.case.order(order).quantity - self.delivered(order);
        let (due, last) = (self.case.order(order).due, self.case.order(order).last_day());
        for one in self.plan.deliveries.iter_mut().filter(|one| one.order == order && one.day >= self.day) {
            let may = if (due..=last).contains(&one.day) { left } else { Volume::ZERO };
            one.volume = one.volume.min(may);
            left -= one.volume;
        }
        self.plan.deliveries.retain(|one| one.volume > Volume::ZERO);
    }

    /// An order is asked for no more than was delivered of it; without any it is gone.
    fn withdraw(&mut self, order: OrderId) {
        let delivered = self.delivered(order);
        self.case.orders[order.0].quantity = delivered;
        self.fit_deliveries(order);
        if delivered == Volume::ZERO {
            self.case.orders.remove(order.0);
            self.plan.deliveries.iter_mut().filter(|one| one.order > order).for_each(|one| one.order.0 -= 1);
        }
    }
}
