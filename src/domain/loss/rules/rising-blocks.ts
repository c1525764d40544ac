import { nextCusum } from '../../statistics/cusum.js';
import type { KnownLevel } from '../balance/known-level.js';
import type { WatchContext } from '../balance/watch-context.js';
import { hasRun, spanBetween, thousandKmOf } from '../facts/usage-span.js';
import { findingOf, levelEvidence } from './rising-findings.js';
import { limitsFor } from './rising-limits.js';
import { type LevelReading, type LossBlock, NO_LEVELS, type RisingState } from './rising-state.js';
import type { Finding } from './rule.js';
import { type BlockLevel, departureFrom, lineThrough, rateOf, takenInto } from './usual-line.js';
import { ROUNDING } from './rounding.js';

/** Takes a known level in: it begins a block, lengthens it, or closes it. */
export function takeLevel(
  state: RisingState,
  level: KnownLevel,
  context: WatchContext,
): { state: RisingState; finding: Finding | null } {
  const { settings } = context;
  if (state.previous === null || state.blockStart === null || level.lostL === null) {
    if (!isSettled(state, level, context)) return { state, finding: null };
    if (level.point.odometerKm === null && level.point.engineHours === null) return { state, finding: null };
    const reading: LevelReading = { thousandKm: 0, lostL: 0 };
    const excursion = state.cusum > 0 ? state.excursion : [levelEvidence(level, null)];
    return {
      state: {
        ...state,
        ...NO_LEVELS,
        previous: { level, reading },
        blockStart: { ...reading, levels: 1 },
        excursion,
      },
      finding: null,
    };
  }
  const { previous } = state;
  const span = spanBetween(previous.level.point, level.point);
  const lostL = previous.reading.lostL + level.lostL;
  const run = thousandKmOf(span, settings.hoursPer1000Km);
  if (run === null) {
    // Usage unknown here: the loss still counts, up to the next level whose usage is known.
    return { state: withLoss(state, level.lostL), finding: null };
  }
  const reading: LevelReading = { thousandKm: previous.reading.thousandKm + run, lostL };
  const next: RisingState = {
    ...state,
    previous: { level, reading },
    kmInBlock: state.kmInBlock + (span.km ?? 0),
    hoursInBlock: state.hoursInBlock + (span.hours ?? 0),
    inBlock: [...state.inBlock, reading].slice(-settings.mostLevelsAveraged),
  };
  const isFull =
    next.kmInBlock >= settings.blockKm - ROUNDING || next.hoursInBlock >= settings.blockHours - ROUNDING;
  return isFull ? closeBlock(next, level, context) : { state: next, finding: null };
}

function closeBlock(
  state: RisingState,
  level: KnownLevel,
  context: WatchContext,
): { state: RisingState; finding: Finding | null } {
  const { settings, cohort, levelNoiseL } = context;
  const start = state.blockStart;
  if (start === null) return { state, finding: null };
  const end = meanOf(state.inBlock, settings.mostLevelsAveraged);
  const thousandKm = end.thousandKm - start.thousandKm;
  const line = state.line ?? lineThrough(start, state.rate ?? rateOf(cohort), levelNoiseL);
  const departure = departureFrom(line, end, levelNoiseL);
  const cusum = nextCusum(state.cusum, departure.standardised, settings.cusumSlack);
  const closed: LossBlock = {
    at: level.at,
    thousandKm,
    lossPer1000Km: (end.lostL - start.lostL) / thousandKm,
    departure,
    cusum,
    limits: limitsFor(thousandKm, settings),
    rose: cusum > state.cusum,
  };
  const evidence = levelEvidence(level, state.previous?.reading.lostL ?? null);
  const excursion = cusum === 0 ? [evidence] : [...state.excursion, evidence];
  const next: RisingState = {
    ...state,
    blockStart: end,
    line: takenInto(line, end, departure),
    kmInBlock: 0,
    hoursInBlock: 0,
    inBlock: [],
    cusum,
    excursion,
    closed,
  };
  return { state: next, finding: findingOf(next, closed, context) };
}

/** The same line and block, with what has been lost meanwhile. */
export function withLoss(state: RisingState, moreL: number): RisingState {
  if (state.previous === null) return state;
  const { level, reading } = state.previous;
  return { ...state, previous: { level, reading: { ...reading, lostL: reading.lostL + moreL } } };
}

function isSettled(state: RisingState, level: KnownLevel, context: WatchContext): boolean {
  if (state.filled === null) return true;
  const span = spanBetween(state.filled, level.point);
  const { heatCycles } = context.settings;
  return span.days >= heatCycles.days && hasRun(span, heatCycles);
}

function meanOf(readings: readonly LevelReading[], most: number): BlockLevel {
  const last = readings.slice(-most);
  const mean = (pick: (reading: LevelReading) => number) =>
    last.reduce((sum, reading) => sum + pick(reading), 0) / last.length;
  return {
    thousandKm: mean((reading) => reading.thousandKm),
    lostL: mean((reading) => reading.lostL),
    levels: last.length,
  };
}
