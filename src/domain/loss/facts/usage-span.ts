import { MS_PER_DAY } from '../../calendar/zone.js';
import { ImpossibleValue } from '../../impossible-value.js';
import { message } from '../messages.js';

/** A point in a vehicle's life: when, and how far it had run. */
export interface UsagePoint {
  ms: number;
  odometerKm: number | null;
  engineHours: number | null;
}

/**
 * The usage between two points; a counter that is unknown at either, or runs backwards, is null.
 */
export interface UsageSpan {
  days: number;
  km: number | null;
  hours: number | null;
}

const RFC_3339 = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:\d{2})$/;

/**
 * An RFC 3339 instant in milliseconds since 1970.
 *
 * @throws ImpossibleValue without an offset: a local time is not an instant.
 * @example instantMs('2026-04-02T15:20:00-06:00') // 1775164800000
 */
export function instantMs(at: string): number {
  const ms = RFC_3339.test(at) ? Date.parse(at) : NaN;
  if (Number.isNaN(ms)) {
    throw new ImpossibleValue({
      field: 'at',
      value: at,
      limit: { form: 'RFC 3339' },
      detail: message('loss-instant-without-offset', { at }),
    });
  }
  return ms;
}

function difference(from: number | null, to: number | null): number | null {
  return from === null || to === null || to < from ? null : to - from;
}

/** Days, kilometres and engine hours from one point to a later one. */
export function spanBetween(from: UsagePoint, to: UsagePoint): UsageSpan {
  return {
    days: (to.ms - from.ms) / MS_PER_DAY,
    km: difference(from.odometerKm, to.odometerKm),
    hours: difference(from.engineHours, to.engineHours),
  };
}

/**
 * A span in 1,000 km, or its worth in engine hours, whichever is more; null where both are unknown.
 *
 * @example thousandKmOf({ days: 9, km: 1500, hours: 50 }, 25) // 2
 */
export function thousandKmOf({ km, hours }: UsageSpan, hoursPer1000Km: number): number | null {
  if (km === null && hours === null) return null;
  return Math.max((km ?? 0) / 1000, (hours ?? 0) / hoursPer1000Km);
}

/**
 * Whether a span is no longer than min(mostDays, max(days, km, hours)): a vehicle that stands
 * still is given days, one that runs hard its usage. Unknown counters say nothing, so that time
 * alone decides.
 *
 * @example isWithin({ days: 60, km: 4000, hours: null }, { days: 30, km: 5000, hours: 150, mostDays: 90 }) // true
 */
export function isWithin(
  span: UsageSpan,
  window: { days: number; km: number; hours: number; mostDays: number },
): boolean {
  if (span.days > window.mostDays) return false;
  if (span.days <= window.days) return true;
  return (span.km !== null && span.km <= window.km) || (span.hours !== null && span.hours <= window.hours);
}

/**
 * Whether a vehicle has run at least so far: kilometres or engine hours, whichever is reached;
 * where both are unknown, yes, so that the caller's rule in days stands alone.
 */
export function hasRun(span: UsageSpan, least: { km: number; hours: number }): boolean {
  if (span.km === null && span.hours === null) return true;
  return (span.km !== null && span.km >= least.km) || (span.hours !== null && span.hours >= least.hours);
}
