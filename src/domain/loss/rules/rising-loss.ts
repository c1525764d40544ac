import { measure } from '../../quantities/measures.js';
import { type Sentence, sentence } from '../../quantities/sentence.js';
import { nextCusum } from '../../statistics/cusum.js';
import { isRepair, opensCircuit } from '../balance/circuit-work.js';
import type { KnownLevel } from '../balance/known-level.js';
import { wordEvidence } from '../balance/level-read.js';
import { limitsFor, type RisingLimits } from './rising-limits.js';
import type { Finding, Moment, Rule, WatchContext } from './rule.js';
import type { LossEvidence } from '../facts/types.js';
import {
  departureFrom,
  lineThrough,
  rateOf,
  takenInto,
  type BlockLevel,
  type Departure,
  type UsualLine,
} from './usual-line.js';
import { hasRun, spanBetween, thousandKmOf, type UsagePoint } from '../facts/usage-span.js';
import { litres, ROUNDING } from './wording.js';

/** A known level on two axes: usage since the first one (1,000 km, or its worth in engine hours) and everything lost since then. */
interface Reading {
  thousandKm: number;
  lostL: number;
}

/** What one closed block says. */
export interface LossBlock {
  at: string;
  thousandKm: number;
  /** Loss per 1,000 km over the block, in L. */
  lossPer1000Km: number;
  /** How the block's level lies off the vehicle's own line. */
  departure: Departure;
  cusum: number;
  limits: RisingLimits;
  /** Whether this block raised the sum: only then is it evidence, however high the sum still stands. */
  rose: boolean;
}

export interface RisingState {
  /** The last fill or opening of the circuit: settling comes first, and only then levels count. */
  filled: UsagePoint | null;
  previous: { level: KnownLevel; reading: Reading } | null;
  blockStart: BlockLevel | null;
  /** The line that levels are compared with; null until the first block closes after a start, a fill or a clearing. */
  line: UsualLine | null;
  /** What is known of the vehicle's own usual rate where there is no line; null: what its cohort loses. */
  rate: { mean: number; variance: number } | null;
  kmInBlock: number;
  hoursInBlock: number;
  inBlock: readonly Reading[];
  cusum: number;
  /** Levels since the CUSUM last stood at zero. */
  excursion: readonly LossEvidence[];
  /** The block that the last fact closed, if it closed one. */
  closed: LossBlock | null;
}

const NO_LEVELS = {
  previous: null,
  blockStart: null,
  line: null,
  kmInBlock: 0,
  hoursInBlock: 0,
  inBlock: [],
  closed: null,
};

const AS_NEW = { rate: null, cusum: 0, excursion: [] };

/** What the line told of the vehicle's own rate outlives a fill, which ends only what was known of the level. */
function knownRate({ line, rate }: RisingState): RisingState['rate'] {
  return line === null ? rate : { mean: line.rate, variance: line.varianceRate };
}

function meanOf(readings: readonly Reading[], most: number): BlockLevel {
  const last = readings.slice(-most);
  const mean = (pick: (reading: Reading) => number) =>
    last.reduce((sum, reading) => sum + pick(reading), 0) / last.length;
  return {
    thousandKm: mean((reading) => reading.thousandKm),
    lostL: mean((reading) => reading.lostL),
    levels: last.length,
  };
}

function levelEvidence(level: KnownLevel, lostL: number | null): LossEvidence {
  const lost =
    lostL === null ? '' : sentence`; ${measure('volume', Math.max(0, lostL))} lost since the first level`;
  return {
    factId: level.factId,
    kind: level.factKind,
    at: level.at,
    text: sentence`cold level: ${levelInWords(level)}${lost}`,
    computed: {
      belowMark: measure('volume', level.belowMarkL),
      lostSinceFirst: lostL === null ? null : measure('volume', lostL),
    },
  };
}

function levelInWords({ factKind, belowMarkL }: KnownLevel): Sentence {
  if (factKind === 'top-up') return sentence`filled to the mark`;
  if (Math.abs(belowMarkL) < ROUNDING) return sentence`at the mark`;
  const side = belowMarkL < 0 ? 'above' : 'below';
  return sentence`${measure('volume', Math.abs(belowMarkL))} ${side} the mark`;
}

function isSettled(state: RisingState, level: KnownLevel, context: WatchContext): boolean {
  if (state.filled === null) return true;
  const span = spanBetween(state.filled, level.point);
  const { heatCycles } = context.settings;
  return span.days >= heatCycles.days && hasRun(span, heatCycles);
}

function findingOf(state: RisingState, block: LossBlock, context: WatchContext): Finding | null {
  const { settings, cohort } = context;
  const { departure, limits } = block;
  const isOff = block.cusum > limits.cusum || departure.standardised > limits.departure;
  if (!isOff || !block.rose) return null;
  const whose = context.isCohortKnown
    ? 'from vehicles of the same spec sheet'
    : 'assumed: common practice, no published source';
  return {
    evidence: [...state.excursion],
    computed: {
      lossPer1000Km: measure('volume', block.lossPer1000Km),
      usualPer1000Km: measure('volume', cohort.mu0),
      lostBeyondUsual: measure('volume', departure.standardised * departure.spreadL),
      cusum: block.cusum,
      cusumLimit: limits.cusum,
      departure: departure.standardised,
      departureLimit: limits.departure,
    },
    basis: [
      `one-sided tabular CUSUM (NIST/SEMATECH e-Handbook 6.3.2.3) of how each level lies off the vehicle's own line (recursive residuals: Brown, Durbin and Evans 1975), slack ${settings.cusumSlack}; sum and single departure each limited to one false alarm in ${settings.falseAlarmKm.toLocaleString('en-US')} km (Siegmund 1985; normal distribution)`,
      `usual loss ${litres(cohort.mu0)} ± ${litres(cohort.sigma)} per 1,000 km, ${whose}; level reading ± ${litres(context.levelNoiseL)}: common practice, no published source`,
    ],
  };
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

/**
 * Judges the least that was lost by a level that is told by its marks, less the uncertainty of a
 * level, once a block is full. It is judged by itself,
 * neither added to the sum nor taken into the line: "at MAX" is said only of levels that are read
 * near it, so that a line through them would lose nothing.
 */
function judgeLeast(state: RisingState, moment: Moment, context: WatchContext): Finding | null {
  const { fact, point, lostAtLeastL } = moment;
  const { previous, blockStart } = state;
  if (fact.kind !== 'level-check' || lostAtLeastL === null || previous === null || blockStart === null)
    return null;
  const { settings, cohort, levelNoiseL } = context;
  const run = thousandKmOf(spanBetween(previous.level.point, point), settings.hoursPer1000Km);
  if (run === null) return null;
  const end: BlockLevel = {
    thousandKm: previous.reading.thousandKm + run,
    lostL: previous.reading.lostL + lostAtLeastL - 2 * levelNoiseL,
    levels: 1,
  };
  const thousandKm = end.thousandKm - blockStart.thousandKm;
  if (1000 * thousandKm < settings.blockKm - ROUNDING) return null;
  const line = state.line ?? lineThrough(blockStart, state.rate ?? rateOf(cohort), levelNoiseL);
  const departure = departureFrom(line, end, levelNoiseL);
  const limits = limitsFor(thousandKm, settings);
  if (departure.standardised <= limits.departure) return null;
  const block: LossBlock = {
    at: fact.at,
    thousandKm,
    lossPer1000Km: (end.lostL - blockStart.lostL) / thousandKm,
    departure,
    cusum: state.cusum,
    limits,
    rose: true,
  };
  const excursion = [...state.excursion, wordEvidence(fact, end.lostL, context.minToMaxL)];
  return findingOf({ ...state, excursion }, block, context);
}

/** The same line and block, with what has been lost meanwhile. */
function withLoss(state: RisingState, moreL: number): RisingState {
  if (state.previous === null) return state;
  const { level, reading } = state.previous;
  return { ...state, previous: { level, reading: { ...reading, lostL: reading.lostL + moreL } } };
}

function takeLevel(
  state: RisingState,
  level: KnownLevel,
  context: WatchContext,
): { state: RisingState; finding: Finding | null } {
  const { settings } = context;
  if (state.previous === null || state.blockStart === null || level.lostL === null) {
    if (!isSettled(state, level, context)) return { state, finding: null };
    if (level.point.odometerKm === null && level.point.engineHours === null) return { state, finding: null };
    const reading: Reading = { thousandKm: 0, lostL: 0 };
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
  const reading: Reading = { thousandKm: previous.reading.thousandKm + run, lostL };
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

/**
 * A loss that has risen above what is usual: one-sided tabular CUSUM of how far each known cold level lies off the straight line along which this vehicle
 * usually loses, and a limit for one such departure by itself (a combined Shewhart–CUSUM scheme: Lucas, J. Qual. Technol. 14 (1982) 51).
 *
 * Levels are taken in blocks of 1,200 km or 30 h (`LOSS_DEFAULTS`), since the reading error of checks close together hides a slow leak. It starts at the first cold level after two
 * heat cycles since a fill, so that trapped air is not taken for loss, and anew after a repair. Levels of unknown usage tell nothing by themselves; their
 * loss counts in the next one. A level told by its marks alone counts with the least that it says
 * was lost (`judgeLeast`).
 */
export const risingLoss: Rule<RisingState> = {
  start: { ...NO_LEVELS, rate: null, filled: null, cusum: 0, excursion: [] },

  step(before, moment, context) {
    const { fact, point, level } = moment;
    const state: RisingState = before.closed === null ? before : { ...before, closed: null };
    if (fact.kind === 'fill' || (fact.kind === 'job' && opensCircuit(fact))) {
      const isNew = fact.kind === 'job' && isRepair(fact);
      const filled: RisingState = { ...state, ...NO_LEVELS, rate: knownRate(state), filled: point };
      return { state: isNew ? { ...filled, ...AS_NEW } : filled, finding: null };
    }
    if (level !== null && !(level.isByMarks && state.previous !== null))
      return takeLevel(state, level, context);
    return {
      state: level === null ? state : withLoss(state, level.lostL ?? 0),
      finding: judgeLeast(state, moment, context),
    };
  },

  restart: (state) => ({ ...state, ...AS_NEW, line: null }),
};
