"""Packaged beer: deliveries, freshness, stores, what is left at the end.

R13 (orders, stock, cold store, least stock), R26 (warm store).
"""

from fractions import Fraction

from amounts import HECTOLITRE, nearest, share_of

EVER = 100_000


def first_delivery(facts, beer, day):
    """R13: the first day on which beer packaged on a day can be delivered."""
    later = [d for d in range(day + 1, facts.days + 1) if facts.by_day[d]["delivers"]]
    return later[0] + facts.beers[beer]["release"] if later else EVER


def delivery_days(facts, order):
    """R13: the due day, and delivery days after it as long as the order may be late."""
    last = order["due"] + (order["late"]["at_most"] if order["late"] else 0)
    return [
        day
        for day in range(max(0, order["due"]), min(last, facts.days) + 1)
        if day == order["due"] or facts.by_day[day]["delivers"]
    ]


class Goods:
    """Packaged beer of a beer in a format: where it comes from and where it goes."""

    def __init__(self, model, facts, ledger, packaged):
        self.model, self.facts, self.ledger, self.packaged = model, facts, ledger, packaged
        self.deliveries = {}
        self.surplus = {}
        for number, order in enumerate(facts.orders):
            self.deliver(number, order)
        for beer, data in enumerate(facts.beers):
            for one in data["packaged"]:
                self.balance(beer, one["format"])
        self.cold_store()
        self.least_stock()

    def deliver(self, number, order):
        """What is delivered of an order on each day that it may be delivered on, and what it earns."""
        facts, rates = self.facts, self.facts.rates
        contribution = facts.contribution(order["beer"], order["format"])
        charge = share_of(rates["missed_firm_ppm"], contribution) if order["firm"] else 0
        worth = facts.order_worth(order)
        self.ledger.pay(Fraction(charge * order["quantity"], HECTOLITRE), 1)
        volumes = []
        for day in delivery_days(facts, order):
            name = f"order {number} on {day}"
            if order["whole"]:
                volume = order["quantity"] * self.model.new_bool_var(name)
            else:
                volume = self.model.new_int_var(0, order["quantity"], name)
            late = order["late"]["cost"] * (day - order["due"]) if order["late"] else 0
            self.ledger.earn(Fraction(worth + charge - late, HECTOLITRE), volume)
            self.deliveries[number, day] = volume
            volumes.append(volume)
        if volumes:
            self.model.add(sum(volumes) <= order["quantity"])

    def stock_of(self, beer, format):
        return [stock for stock in self.facts.stock if (stock["beer"], stock["format"]) == (beer, format)]

    def orders_of(self, beer, format):
        """Deliveries: number of the order, day, volume."""
        for (number, day), volume in self.deliveries.items():
            order = self.facts.orders[number]
            if (order["beer"], order["format"]) == (beer, format):
                yield number, day, volume

    def fresh(self, number):
        order = self.facts.orders[number]
        return order["fresh"] if order["fresh"] is not None else self.facts.beers[order["beer"]]["fresh"]

    def balance(self, beer, format):
        """R13: nothing is delivered before it is there, or when it is too old. What is left is surplus."""
        orders = list(self.orders_of(beer, format))
        sources = [(stock["from"], stock["packaged_on"], stock["quantity"]) for stock in self.stock_of(beer, format)]
        for slot, volume in self.packaged.of(beer, format):
            day = self.facts.day(slot)
            sources.append((first_delivery(self.facts, beer, day), day, volume))
        is_aging = self.facts.beers[beer]["fresh"] is not None or any(self.fresh(number) is not None for number, _, _ in orders)
        if is_aging:
            self.surplus[beer, format] = self.by_age(beer, orders, sources)
            return
        for day in sorted({day for _, day, _ in orders}):
            there = sum(volume for begins, _, volume in sources if begins <= day)
            self.model.add(sum(volume for _, on, volume in orders if on <= day) <= there)
        self.surplus[beer, format] = sum(volume for _, _, volume in sources) - sum(volume for _, _, volume in orders)

    def by_age(self, beer, orders, sources):
        """Which beer goes to which order, where its age matters."""
        outs = [[] for _ in sources]
        most = sum(volume if isinstance(volume, int) else 10**9 for _, _, volume in sources)
        for number, day, volume in orders:
            limit = self.fresh(number)
            shares = []
            for position, (begins, on, _) in enumerate(sources):
                if begins <= day and (limit is None or day - on <= limit):
                    share = self.model.new_int_var(0, min(most, self.facts.orders[number]["quantity"]), "share")
                    shares.append(share)
                    outs[position].append(share)
            self.model.add(sum(shares) == volume)
        good = []
        limit = self.facts.beers[beer]["fresh"]
        for (_, on, volume), out in zip(sources, outs):
            self.model.add(sum(out) <= volume)
            if limit is None or self.facts.days - on <= limit:
                good.append(volume - sum(out))
        return sum(good)

    def stands(self, beer, format, day, is_warm_apart):
        """What is packaged and not delivered at the end of a day; beer that conditions in its package may stand elsewhere."""
        apart = is_warm_apart and self.facts.beers[beer]["carbonating"] == "in package"
        there = 0
        for stock in self.stock_of(beer, format):
            if not apart or stock["from"] <= day:
                there += stock["quantity"]
        for slot, volume in self.packaged.of(beer, format):
            on = self.facts.day(slot)
            if (first_delivery(self.facts, beer, on) if apart else on) <= day:
                there += volume
        return there - sum(volume for _, on, volume in self.orders_of(beer, format) if on <= day)

    def cold_store(self):
        """R13: what stands in the cold store at the end of each day: what it holds, and hired room at a price."""
        store = self.facts.cold_store
        if not store:
            return
        if store["by_pallets"]:
            unit = lambda f: Fraction(1_000_000, self.facts.formats[f]["contents"] * (self.facts.formats[f]["pallet"] or 1))
            priced = 1_000_000
        else:
            unit = lambda f: Fraction(1)
            priced = HECTOLITRE
        kinds = [
            (beer, one["format"])
            for beer, data in enumerate(self.facts.beers)
            for one in data["packaged"]
            if one["format"] in store["formats"]
        ]
        before = 0
        for beer, format in kinds:
            for stock in self.stock_of(beer, format):
                if self.facts.beers[beer]["carbonating"] != "in package" or stock["from"] <= 0:
                    before += nearest(*(unit(format) * stock["quantity"]).as_integer_ratio())
        most = max(before, store["holds"] + store["overflow"])
        for day in range(self.facts.calendar["planned_days"]):
            stands = 0
            for beer, format in kinds:
                takes = self.model.new_int_var(0, max(most, 1), f"cold {beer} {format} {day}")
                share = unit(format)
                self.model.add(takes * share.denominator >= share.numerator * self.stands(beer, format, day, True))
                stands += takes
            over = self.model.new_int_var(0, most - min(most, store["holds"]), f"hired on {day}")
            self.model.add(stands <= store["holds"] + over)
            self.ledger.pay(Fraction(store["cost"], priced), over)

    def least_stock(self):
        """R13: stocks that are to be kept."""
        for keep in self.facts.keep:
            for day in range(self.facts.calendar["planned_days"]):
                if keep["on_sundays_only"] and not self.facts.by_day[day]["is_sunday"]:
                    continue
                lacks = self.model.new_int_var(0, keep["at_least"], f"lacks on {day}")
                self.model.add(lacks >= keep["at_least"] - self.stands(keep["beer"], keep["format"], day, False))
                self.ledger.pay(Fraction(keep["cost"], HECTOLITRE), lacks)


def warm_store(model, facts, packaged):
    """R26: beer that conditions in its package stands warm until it can be delivered."""
    limit = facts.warm_store
    if limit is None:
        return
    warm = [b for b, beer in enumerate(facts.beers) if beer["carbonating"] == "in package"]
    for day in range(facts.calendar["planned_days"]):
        before = sum(stock["quantity"] for stock in facts.stock if stock["beer"] in warm and stock["from"] > day)
        there = []
        for (beer, _, slot), volume in packaged.volumes.items():
            on = facts.day(slot)
            if beer in warm and on <= day < first_delivery(facts, beer, on):
                there.append(volume)
        if not there:
            continue
        if before <= limit:
            model.add(sum(there) <= limit - before)
        else:
            for volume in there:
                model.add(volume == 0)
