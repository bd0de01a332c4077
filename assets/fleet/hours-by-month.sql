-- Hours run each month by every machine. Where carried_on is true the month goes on after the last
-- reading of the meter, at the rate of use.
select b.name, b.boat, h.machine, h."month", h.hours, h.carried_on
from hours_by_month h
join boats b on b.boat = h.boat
order by b.name, b.boat, h.machine, h."month";
