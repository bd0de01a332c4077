-- The readings of one item in time, on every boat: put another item in the place of this one. The
-- unit stands beside the figure; base_value is in one unit for all boats, see TABLES.md.
select b.name, b.boat, r.machine, r."at", r.value, r.unit, r.base_value
from readings r
join boats b on b.boat = r.boat
where r.item = 'oil-pressure'
order by b.name, b.boat, r.machine, r."at", r."key";
