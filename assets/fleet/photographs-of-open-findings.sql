-- Photographs taken at looks since the finding that is open: where the picture lies under photos/ of
-- the boat's logbook, or the path that was given where it was not taken in.
select b.name, b.boat, d.item, d.machine, d.risk, p."at", p.path, p.caption, p.kept
from defects d
join boats b on b.boat = d.boat
join photos p on p.boat = d.boat and p.item = d.item
  and (d.machine is null or p.machine = d.machine) and p."at" >= d.opened
where d."rank" is not null and d.state in ('open', 'deferred')
order by b.name, b.boat, d."rank", p."at", p.path;
