import { civilDateAt } from '../../domain/calendar/zone.js';
import { estimateNow, isStale } from '../../domain/usage/projection.js';
import type { DailyRate } from '../../domain/usage/types.js';
import { optionalMeasure, shownRate } from '../../platform/presenting/measures.js';
import type { UsageView } from './usage.dto.js';
import type { UsageSummary } from '../../entities/usage-summary.entity.js';

interface KnownCounter {
  at: number;
  lifetime: number;
  offset: number;
  rate: DailyRate | null;
}

function counterOf(
  at: Date | null,
  lifetime: number | null,
  offset: number | null,
  rate: DailyRate | null,
): KnownCounter | null {
  return at === null || lifetime === null ? null : { at: at.getTime(), lifetime, offset: offset ?? 0, rate };
}

/** The value that a counter showed when it was last read. */
const shownAtLast = ({ lifetime, offset }: KnownCounter): number => lifetime - offset;

/** The value that a counter should show now. Null when its rate is not known. */
function shownNow(counter: KnownCounter | null, now: number, timeZone: string): number | null {
  if (!counter?.rate) return null;
  const last = { at: counter.at, value: counter.lifetime };
  return estimateNow(counter.rate, last, now, timeZone) - counter.offset;
}

function distanceOf(summary: UsageSummary | null): KnownCounter | null {
  if (!summary) return null;
  const { odometerReadAt, odometerLifetimeKm, odometerOffsetKm, distanceRate } = summary;
  return counterOf(odometerReadAt, odometerLifetimeKm, odometerOffsetKm, distanceRate);
}

function hoursOf(summary: UsageSummary | null): KnownCounter | null {
  if (!summary) return null;
  const { engineHoursReadAt, engineHoursLifetime, engineHoursOffset, engineHoursRate } = summary;
  return counterOf(engineHoursReadAt, engineHoursLifetime, engineHoursOffset, engineHoursRate);
}

/** A vehicle's counters and how it is used. */
export function usageView(
  summary: UsageSummary | null,
  now: Date,
  timeZone: string,
): Omit<UsageView, 'readings'> {
  const [distance, hours] = [distanceOf(summary), hoursOf(summary)];
  const asOf = now.getTime();
  const lastAt = Math.max(distance?.at ?? -Infinity, hours?.at ?? -Infinity);
  const shownThen = (counter: KnownCounter | null): number | null =>
    counter?.at === lastAt ? shownAtLast(counter) : null;
  return {
    lastReading:
      lastAt === -Infinity
        ? null
        : {
            readAt: new Date(lastAt).toISOString(),
            odometer: optionalMeasure('distance', shownThen(distance)),
            engineHours: optionalMeasure('engine-hours', shownThen(hours)),
          },
    dailyDistance: shownRate('distance', summary?.distanceRate ?? null),
    dailyEngineHours: shownRate('engine-hours', summary?.engineHoursRate ?? null),
    method: (summary?.distanceRate ?? summary?.engineHoursRate)?.method ?? null,
    stale: lastAt === -Infinity || isStale(civilDateAt(lastAt, timeZone), civilDateAt(asOf, timeZone)),
    estimatedOdometer: optionalMeasure('distance', shownNow(distance, asOf, timeZone)),
    estimatedEngineHours: optionalMeasure('engine-hours', shownNow(hours, asOf, timeZone)),
  };
}
