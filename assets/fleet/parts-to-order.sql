-- The parts that open and deferred defects wait for, each with the boats, items and machines that
-- need it, and its numbers where they are known.
select p.part, b.name, b.boat, p.item, p.machine, p.makers_number, p.fitted_number, p.words
from parts_to_order p
join boats b on b.boat = p.boat
order by p.part, b.name, b.boat, p.item, p.machine;
