import { measure } from '../quantities/measures.js';
import { isRepair, opensCircuit } from './circuit-work.js';
import type { KnownLevel } from './known-level.js';
import type { Finding, Rule, WatchContext } from './rule.js';
import type { LossEvidence } from './types.js';
import { hasRun, spanBetween, type UsagePoint } from './usage-span.js';
import { litres, ROUNDING } from './wording.js';

/** A known level on two axes: usage since the first one (1,000 km, or its worth in engine hours) and everything lost since then. */
interface Reading {
  thousandKm: number;
  lostL: number;
}

/** Mean of the last levels of a block. */
interface BlockEnd extends Reading {
  levels: number;
}

/** What one closed block says. */
export interface LossBlock {
  at: string;
  thousandKm: number;
  /** Loss per 1,000 km over the block, in L. */
  lossPer1000Km: number;
  cusum: number;
  /** Whether this block raised the sum: only then is it evidence, however high the sum still stands. */
  rose: boolean;
}

export interface RisingState {
  /** The last fill or opening of the circuit: settling comes first, and only then levels count. */
  filled: UsagePoint | null;
  previous: { level: KnownLevel; reading: Reading } | null;
  blockStart: BlockEnd | null;
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
  kmInBlock: 0,
  hoursInBlock: 0,
  inBlock: [],
  closed: null,
};

/**
 * One step of the upper one-sided tabular CUSUM: S ← max(0, S + z − k).
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3, in standardised form.
 *
 * @example nextCusum(1.2, 2, 0.5) // 2.7
 */
export function nextCusum(cusum: number, z: number, k: number): number {
  return Math.max(0, cusum + z - k);
}

/**
 * Standard deviation of a loss rate between two known levels, in L per 1,000 km: σ_x² = σ² + (u²/m + u²/n)/Δ², for m and n levels averaged at
 * the two ends (JCGM 100, 5.1.2: a difference of two means).
 *
 * @param sigma spread of the usual rate in L per 1,000 km; levelNoiseL the standard uncertainty of one level in L; thousandKm the distance between the ends.
 * @example spreadOfRate(0.02, 0.15, 1, 1, 1.5) // 0.14283
 */
export function spreadOfRate(
  sigma: number,
  levelNoiseL: number,
  levelsBefore: number,
  levelsNow: number,
  thousandKm: number,
): number {
  return Math.hypot(sigma, (levelNoiseL * Math.sqrt(1 / levelsBefore + 1 / levelsNow)) / thousandKm);
}

function meanOf(readings: readonly Reading[], most: number): BlockEnd {
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
  const lost = lostL === null ? '' : `, ${litres(lostL)} lost in all since the first level`;
  const below =
    level.factKind === 'top-up' ? 'filled to the mark' : `${litres(level.belowMarkL)} below the mark`;
  return {
    factId: level.factId,
    kind: level.factKind,
    at: level.at,
    text: `cold level: ${below}${lost}`,
    computed: {
      belowMark: measure('volume', level.belowMarkL),
      lostSinceFirst: lostL === null ? null : measure('volume', lostL),
    },
  };
}

function isSettled(state: RisingState, level: KnownLevel, context: WatchContext): boolean {
  if (state.filled === null) return true;
  const span = spanBetween(state.filled, level.point);
  const { heatCycles } = context.settings;
  return span.days >= heatCycles.days && hasRun(span, heatCycles);
}

function findingOf(state: RisingState, block: LossBlock, context: WatchContext): Finding | null {
  const { settings, cohort } = context;
  if (block.cusum <= settings.cusumH || !block.rose) return null;
  const whose = context.isCohortKnown
    ? 'from vehicles of the same spec sheet'
    : 'assumed: common practice, no published source';
  return {
    evidence: [...state.excursion],
    computed: {
      lossPer1000Km: measure('volume', block.lossPer1000Km),
      usualPer1000Km: measure('volume', cohort.mu0),
      cusum: block.cusum,
      cusumLimit: settings.cusumH,
    },
    basis: [
      `one-sided tabular CUSUM (NIST/SEMATECH e-Handbook 6.3.2.3), slack ${settings.cusumSlackSigmas} spreads of the usual loss, limit ${settings.cusumH} standard deviations`,
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
  const rate = (end.lostL - start.lostL) / thousandKm;
  const spread = spreadOfRate(cohort.sigma, levelNoiseL, start.levels, end.levels, thousandKm);
  const slack = (settings.cusumSlackSigmas * cohort.sigma) / spread;
  const cusum = nextCusum(state.cusum, (rate - cohort.mu0) / spread, slack);
  const closed: LossBlock = {
    at: level.at,
    thousandKm,
    lossPer1000Km: rate,
    cusum,
    rose: cusum > state.cusum,
  };
  const evidence = levelEvidence(level, state.previous?.reading.lostL ?? null);
  const excursion = cusum === 0 ? [evidence] : [...state.excursion, evidence];
  const next: RisingState = {
    ...state,
    blockStart: end,
    kmInBlock: 0,
    hoursInBlock: 0,
    inBlock: [],
    cusum,
    excursion,
    closed,
  };
  return { state: next, finding: findingOf(next, closed, context) };
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
  if (span.km === null && span.hours === null) {
    // Usage unknown here: the loss still counts, up to the next level whose usage is known.
    return {
      state: { ...state, previous: { ...previous, reading: { ...previous.reading, lostL } } },
      finding: null,
    };
  }
  const run = Math.max((span.km ?? 0) / 1000, (span.hours ?? 0) / settings.hoursPer1000Km);
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
 * A loss rate that has risen above what is usual: one-sided tabular CUSUM over the loss per 1,000 km between known cold levels.
 *
 * Levels are taken in blocks of 1,200 km or 30 h (`LOSS_DEFAULTS`), since the reading error of checks close together hides a slow leak. It starts at the first cold level after two
 * heat cycles since a fill, so that trapped air is not taken for loss, and anew after a repair. Levels of unknown usage give no rate; their loss counts in the
 * next one.
 */
export const risingLoss: Rule<RisingState> = {
  start: { ...NO_LEVELS, filled: null, cusum: 0, excursion: [] },

  step(before, moment, context) {
    const { fact, point, level } = moment;
    const state: RisingState = before.closed === null ? before : { ...before, closed: null };
    if (fact.kind === 'fill' || (fact.kind === 'job' && opensCircuit(fact))) {
      const isNew = fact.kind === 'job' && isRepair(fact);
      const filled: RisingState = { ...state, ...NO_LEVELS, filled: point };
      return { state: isNew ? { ...filled, cusum: 0, excursion: [] } : filled, finding: null };
    }
    return level === null ? { state, finding: null } : takeLevel(state, level, context);
  },

  restart: (state) => ({ ...state, cusum: 0, excursion: [] }),
};
