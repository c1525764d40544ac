import type { Action, Component } from '../../../src/domain/intervals/types.js';
import type { LevelWord } from '../../../src/domain/checks/level-marks.js';
import type {
  AlertActionFact,
  FillFact,
  FreezePointFact,
  HoldTestFact,
  JobFact,
  JobLine,
  LevelCheckFact,
  ReportedLowFact,
  TopUpFact,
  VehicleFacts,
} from '../../../src/domain/loss/facts/types.js';

/** The day on which every history here begins. */
const START_MS = Date.UTC(2026, 0, 1, 12);

/** An instant so many days after the start. @example onDay(1.5) // '2026-01-03T00:00:00.000Z' */
export function onDay(day: number): string {
  return new Date(START_MS + Math.round(day * 86_400_000)).toISOString();
}

type Where = { km?: number | null; hours?: number | null };

function fact(id: string, day: number, where: Where) {
  return { id, at: onDay(day), odometerKm: where.km ?? null, engineHours: where.hours ?? null };
}

export function topUp(
  id: string,
  day: number,
  addedL: number,
  more: Where & Partial<Pick<TopUpFact, 'strengthPercent' | 'toMark' | 'planned'>> = {},
): TopUpFact {
  const { strengthPercent = 50, toMark = true, planned = false } = more;
  return { kind: 'top-up', ...fact(id, day, more), addedL, strengthPercent, toMark, planned };
}

export function levelCheck(
  id: string,
  day: number,
  belowMarkL: number,
  more: Where & { warm?: boolean } = {},
): LevelCheckFact {
  return { kind: 'level-check', ...fact(id, day, more), belowMarkL, engineCold: more.warm !== true };
}

/** A level told by its marks alone. */
export function levelWord(
  id: string,
  day: number,
  level: LevelWord,
  more: Where & { warm?: boolean } = {},
): LevelCheckFact {
  return {
    kind: 'level-check',
    ...fact(id, day, more),
    belowMarkL: null,
    level,
    engineCold: more.warm !== true,
  };
}

export function freezePoint(
  id: string,
  day: number,
  strengthVolumePercent: number | null,
  more: Where & Partial<Pick<FreezePointFact, 'uncertaintyPercent' | 'method' | 'mixed'>> = {},
): FreezePointFact {
  const { uncertaintyPercent = 0.6, method = 'refractometer', mixed } = more;
  return {
    kind: 'freeze-point',
    ...fact(id, day, more),
    strengthVolumePercent,
    uncertaintyPercent,
    method,
    ...(mixed === undefined ? {} : { mixed }),
    verdict: null,
  };
}

export function holdTest(
  id: string,
  day: number,
  more: Where &
    Partial<
      Pick<HoldTestFact, 'method' | 'verdict' | 'ratePerMinuteKpa' | 'atCapRating' | 'temperatureInDoubt'>
    > = {},
): HoldTestFact {
  const {
    method = 'vacuum',
    verdict = 'pass',
    ratePerMinuteKpa = 0.1,
    atCapRating = method === 'pressure',
  } = more;
  // 1 inHg in 5 minutes allowed; a gauge read to 0.35 inHg, and its reader: U = 2·1.195/√3/5 =
  // 0.276 kPa/min.
  return {
    kind: 'hold-test',
    ...fact(id, day, more),
    method,
    verdict,
    ratePerMinuteKpa,
    allowedRateKpa: 0.677,
    expandedUncertaintyRate: 0.276,
    atCapRating,
    temperatureInDoubt: more.temperatureInDoubt ?? false,
  };
}

export function fill(id: string, day: number, more: Where & { addedL?: number } = {}): FillFact {
  return {
    kind: 'fill',
    ...fact(id, day, more),
    addedL: more.addedL ?? 10,
    strengthPercent: 50,
    jobId: null,
  };
}

export function line(component: Component, action: Action = 'replace', more: Partial<JobLine> = {}): JobLine {
  return {
    component,
    action,
    item: null,
    failed: false,
    lot: null,
    partNumber: null,
    beforeWindow: null,
    ...more,
  };
}

export function job(
  id: string,
  day: number,
  lines: JobLine[],
  more: Where & { isBaseline?: boolean } = {},
): JobFact {
  return { kind: 'job', ...fact(id, day, more), lines, isBaseline: more.isBaseline ?? false };
}

/** The vehicle reported that its level or its pressure is low. */
export function reportedLow(id: string, day: number, what: ReportedLowFact['what']): ReportedLowFact {
  const code = what === 'level' ? 'SPN 111 FMI 1' : 'SPN 109 FMI 1';
  return { kind: 'reported-low', ...fact(id, day, {}), what, code };
}

export function action(
  day: number,
  alertKey: string,
  what: AlertActionFact['action'],
  until: number | null = null,
): AlertActionFact {
  const at = onDay(day);
  return {
    kind: 'alert-action',
    id: `${what}-${day}`,
    at,
    alertKey,
    action: what,
    until: until === null ? null : onDay(until),
    by: 'manager',
    note: null,
  };
}

/** A vehicle with a 12 L system and no cohort, unless said otherwise. */
export function vehicle(events: VehicleFacts['events'], more: Partial<VehicleFacts> = {}): VehicleFacts {
  const sheet = { capacityL: 12, base: 'ethylene-glycol', technology: 'OAT' };
  return { vehicleId: 'v1', sheet, cohort: null, events, ...more };
}
