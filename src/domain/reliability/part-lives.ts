import { civilDateAt } from '../calendar/zone.js';
import type { CivilDate, Duty } from '../intervals/types.js';
import type { Life } from './lives.js';
import type { PartReplaced, Use, VehicleParts, WantedLives } from './part-history.js';
import { placesOf } from './part-places.js';

export const LEFT_OUT = [
  'usage-unknown',
  'no-use',
  'before-records',
  'watched-only-at-its-end',
  'sheet-changed',
  'item-unknown',
] as const;
export type LeftOut = (typeof LEFT_OUT)[number];

export interface PartLife extends Life {
  ended: 'failed' | 'replaced' | 'running';
  duty: Duty | 'mixed';
  item: string | null;
  /** The first part since the vehicle was in service. */
  isFirst: boolean;
  /**
   * It was fitted before records began, and the start of records is not known: it counts as watched
   * from new.
   */
  isEntryUnknown: boolean;
}

export interface PartLives {
  lives: PartLife[];
  leftOut: LeftOut[];
}

/** Before any day on record. */
const LONG_AGO = '0000-01-01';

interface Fitted {
  on: CivilDate;
  use: Use;
  isBaseline: boolean;
  isFirst: boolean;
}

/**
 * The lives of a vehicle's parts of one kind, each from its fitting (or from the day in service) to
 * its replacement, or to the last believed reading while it runs.
 *
 * A part taken out as failed is a failure; one taken out while still good, or still running, is
 * censored. A part fitted before records began counts from the first reading on record (delayed
 * entry), for had it failed before, it would not be on record. Of such a part that failed at the
 * very first reading it is not known from when it was watched: it counts from new; one still
 * running at it tells nothing, and is left out. So is, with the reason, what cannot be told for
 * want of usage.
 *
 * @example a vehicle in service at 12 km, its pump failed at 6,712 km, last read at 9,000 km // lives of 6,700 (failed) and 2,288 km (running)
 */
export function partLivesOf(vehicle: VehicleParts, wanted: WantedLives): PartLives {
  const found: PartLives = { lives: [], leftOut: [] };
  const places = placesOf(vehicle, wanted.item);
  for (const { item, replacements } of places) {
    if (item === undefined) {
      found.leftOut.push(...replacements.map(() => 'item-unknown' as const));
      continue;
    }
    let fitted: Fitted = {
      on: vehicle.inServiceOn ?? LONG_AGO,
      use: vehicle.inServiceUse,
      isBaseline: false,
      isFirst: true,
    };
    for (const replaced of [...replacements, null]) {
      const life = lifeOf(vehicle, wanted, item, fitted, replaced);
      if (typeof life === 'string') found.leftOut.push(life);
      else if (life !== null) found.lives.push(life);
      if (replaced === null) continue;
      const { use, isBaseline } = replaced;
      fitted = { on: civilDateAt(replaced.at, wanted.timeZone), use, isBaseline, isFirst: false };
    }
  }
  return found;
}

/** One life; null where another was asked for; else why it is left out. */
function lifeOf(
  vehicle: VehicleParts,
  wanted: WantedLives,
  item: string | null,
  fitted: Fitted,
  replaced: PartReplaced | null,
): PartLife | LeftOut | null {
  const endedOn = replaced === null ? wanted.today : civilDateAt(replaced.at, wanted.timeZone);
  const span = assignedDuring(vehicle, fitted.on, endedOn);
  const sheets = new Set(span.map(({ specSheetId }) => specSheetId).filter((id) => id !== null));
  if (wanted.specSheetId !== null && sheets.size > 0 && !sheets.has(wanted.specSheetId)) return null;
  const duties = new Set(span.map(({ duty }) => duty));
  const duty = duties.size === 1 ? [...duties][0]! : 'mixed';
  if (wanted.duty !== null && duty !== wanted.duty) return null;
  if (replaced?.isBaseline) return 'before-records';
  const isEarlier = wanted.recordsFrom !== null && fitted.on < wanted.recordsFrom;
  const isDelayed = isEarlier || fitted.isBaseline || (fitted.isFirst && vehicle.hasBaseline);
  if (isEarlier && replaced !== null && endedOn < wanted.recordsFrom!) return 'before-records';
  if (wanted.specSheetId !== null && sheets.size > 1) return 'sheet-changed';
  const end = replaced === null ? vehicle.lastUse : replaced.use;
  const watched = isDelayed ? vehicle.watchedFrom : null;
  if (fitted.use === null || end === null || (watched !== null && watched.use === null))
    return 'usage-unknown';
  const age = end - fitted.use;
  if (age < 0) return 'usage-unknown';
  if (age === 0) return 'no-use';
  const failed = replaced?.failed ?? false;
  const seenFrom = watched === null ? 0 : Math.max(0, watched.use! - fitted.use);
  const isAtItsEnd = isDelayed && (vehicle.watchedFrom === null || seenFrom >= age);
  if (isAtItsEnd && !failed) return 'watched-only-at-its-end';
  return {
    age,
    entry: isAtItsEnd ? 0 : seenFrom,
    failed,
    count: 1,
    ended: replaced === null ? 'running' : failed ? 'failed' : 'replaced',
    duty,
    item,
    isFirst: fitted.isFirst,
    isEntryUnknown: isAtItsEnd,
  };
}

/** The assignments in force at some time between two days. */
function assignedDuring(
  { assignments }: VehicleParts,
  from: CivilDate,
  to: CivilDate,
): VehicleParts['assignments'] {
  return assignments.filter(
    ({ effectiveOn }, index) =>
      effectiveOn <= to &&
      (assignments[index + 1] === undefined || assignments[index + 1]!.effectiveOn > from),
  );
}
