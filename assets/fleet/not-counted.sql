-- What no table counts, boat by boat. Read it beside every other answer.
select b.name, b.boat, n.sentence
from not_counted n
join boats b on b.boat = n.boat
order by b.name, b.boat, n.sentence;
