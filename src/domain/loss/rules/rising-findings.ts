import { measure } from '../../quantities/measures.js';
import { type Sentence, sentence } from '../../quantities/sentence.js';
import type { KnownLevel } from '../balance/known-level.js';
import type { WatchContext } from '../balance/watch-context.js';
import type { LossEvidence } from '../facts/types.js';
import type { LossBlock, RisingState } from './rising-state.js';
import type { Finding } from './rule.js';
import { litres, ROUNDING } from './wording.js';

/**
 * A known level as evidence. @param lostL lost since the first level, in L; null where it is the
 * first
 */
export function levelEvidence(level: KnownLevel, lostL: number | null): LossEvidence {
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

/** What a block shows, where the sum or its own departure passes its limit. */
export function findingOf(state: RisingState, block: LossBlock, context: WatchContext): Finding | null {
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
