import { isRepair, losesKnownLevel } from '../balance/circuit-work.js';
import { wordEvidence } from '../balance/level-read.js';
import type { Moment } from '../balance/moments.js';
import type { WatchContext } from '../balance/watch-context.js';
import { spanBetween, thousandKmOf } from '../facts/usage-span.js';
import { takeLevel, withLoss } from './rising-blocks.js';
import { findingOf } from './rising-findings.js';
import { limitsFor } from './rising-limits.js';
import { AS_NEW, type LossBlock, NO_LEVELS, type RisingState } from './rising-state.js';
import type { Finding, Rule } from './rule.js';
import { type BlockLevel, departureFrom, lineThrough, rateOf } from './usual-line.js';
import { ROUNDING } from './rounding.js';

/**
 * A loss that has risen above what is usual: one-sided tabular CUSUM of how far each known cold
 * level lies off the straight line along which this vehicle
 * usually loses, and a limit for one such departure by itself (a combined Shewhart–CUSUM scheme:
 * Lucas, J. Qual. Technol. 14 (1982) 51).
 *
 * Levels are taken in blocks of 1,200 km or 30 h (`LOSS_DEFAULTS`), since the reading error of
 * checks close together hides a slow leak. It starts at the first cold level after two
 * heat cycles since a fill, so that trapped air is not taken for loss, and anew after a repair.
 * Levels of unknown usage tell nothing by themselves; their
 * loss counts in the next one. A level told by its marks alone counts with the least that it says
 * was lost (`judgeLeast`).
 */
export const risingLoss: Rule<RisingState> = {
  start: { ...NO_LEVELS, rate: null, filled: null, cusum: 0, excursion: [] },

  step(before, moment, context) {
    const { fact, point, level } = moment;
    const state: RisingState = before.closed === null ? before : { ...before, closed: null };
    const isFilled = fact.kind === 'fill' || (fact.kind === 'job' && losesKnownLevel(fact));
    const isNew = fact.kind === 'job' && isRepair(fact);
    if (isFilled || isNew) {
      const begun: RisingState = {
        ...{ ...state, ...NO_LEVELS, rate: knownRate(state) },
        filled: isFilled ? point : state.filled,
      };
      return { state: isNew ? { ...begun, ...AS_NEW } : begun, finding: null };
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

/**
 * The rate learnt by the line survives a fill, which only ends what was known about the level.
 */
function knownRate({ line, rate }: RisingState): RisingState['rate'] {
  return line === null ? rate : { mean: line.rate, variance: line.varianceRate };
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
