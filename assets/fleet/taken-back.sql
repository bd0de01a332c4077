-- What was taken back, put right or set aside, with who did it and why: history, which no other table
-- counts.
select b.name, b.boat, e.state, e.id, e.kind, e.words, e.was, e.changed_at, e.changed_by, e.changed_why
from changed_entries e
join boats b on b.boat = e.boat
order by b.name, b.boat, e.changed_at, e.id;
