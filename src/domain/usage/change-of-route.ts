/** A value (km or h) at a place on the axis of days in use. */
export interface PlacedValue {
  x: number;
  y: number;
}

/** All found by simulation (docs/domain-usage.md gives the figures). */
const STEP_DAYS = 7;
const RECENT_DAYS = { least: 21, most: 60 };
const EARLIER_DAYS_LEAST = 21;
const LEAST_RELATIVE_CHANGE = 0.25;
const LEAST_Z = 2.5;

/**
 * Where a vehicle's daily use changed, as a place on the axis of days in use; null when nothing says so.
 *
 * The values are thinned to one a week (a week holds the same working days). For every week's end 21 to 60 days before the last value, the
 * mean rate since is compared with the mean rate before:
 *
 *   z = |r₂ − r₁| / √(s²·(1/T₁ + 1/T₂)),  s² = Σ (Δy − r·Δx)²/Δx over both parts / (increments − 2),
 *
 * which is the difference over its standard error if daily use varies independently by s per √day. The place with the greatest z is a change
 * if z > 2.5 and the rates differ by a quarter. Source: the two-sample test for a change point at an unknown place; the
 * limits were found by simulation, no published source.
 *
 * @param values ascending in x; the longer before the change, the surer (up to a year).
 */
export function changeOfRoute(values: readonly PlacedValue[]): number | null {
  const weekly = weeklyFromTheEnd(values);
  const last = weekly.at(-1);
  const first = weekly[0];
  if (!first || !last) return null;
  let greatest = LEAST_Z;
  let place: number | null = null;
  for (let k = weekly.length - 2; k >= 1; k--) {
    const at = weekly[k]!;
    const recent = last.x - at.x;
    const earlier = at.x - first.x;
    if (recent < RECENT_DAYS.least) continue;
    if (recent > RECENT_DAYS.most || earlier < EARLIER_DAYS_LEAST || weekly.length < 5) break;
    const rateSince = (last.y - at.y) / recent;
    const rateBefore = (at.y - first.y) / earlier;
    if (Math.abs(rateSince - rateBefore) < LEAST_RELATIVE_CHANGE * Math.abs(rateBefore)) continue;
    const scatter = squares(weekly, 0, k, rateBefore) + squares(weekly, k, weekly.length - 1, rateSince);
    const variance = (scatter / (weekly.length - 3)) * (1 / recent + 1 / earlier);
    const z = Math.abs(rateSince - rateBefore) / Math.sqrt(variance);
    if (z > greatest) {
      greatest = z;
      place = at.x;
    }
  }
  return place;
}

function weeklyFromTheEnd(values: readonly PlacedValue[]): PlacedValue[] {
  const kept: PlacedValue[] = [];
  let next = Infinity;
  for (let i = values.length - 1; i >= 0; i--) {
    if (values[i]!.x > next) continue;
    kept.push(values[i]!);
    next = values[i]!.x - STEP_DAYS;
  }
  return kept.reverse();
}

function squares(values: readonly PlacedValue[], from: number, to: number, rate: number): number {
  let sum = 0;
  for (let i = from + 1; i <= to; i++) {
    const dx = values[i]!.x - values[i - 1]!.x;
    sum += (values[i]!.y - values[i - 1]!.y - rate * dx) ** 2 / dx;
  }
  return sum;
}
