import { measure } from '../../quantities/measures.js';
import type { Message } from '../../message.js';
import { told } from '../../quantities/told.js';
import type { KnownLevel } from '../balance/known-level.js';
import type { WatchContext } from '../balance/watch-context.js';
import type { LossEvidence } from '../facts/types.js';
import { message } from '../messages.js';
import type { LossBlock, RisingState } from './rising-state.js';
import type { Finding } from './rule.js';
import { ROUNDING } from './rounding.js';

/**
 * A known level as evidence. @param lostL lost since the first level, in L; null where it is the
 * first
 */
export function levelEvidence(level: KnownLevel, lostL: number | null): LossEvidence {
  return {
    factId: level.factId,
    kind: level.factKind,
    at: level.at,
    message: levelTold(level, lostL),
    computed: {
      belowMark: measure('volume', level.belowMarkL),
      lostSinceFirst: lostL === null ? null : measure('volume', lostL),
    },
  };
}

function levelTold({ factKind, belowMarkL }: KnownLevel, lostL: number | null): Message {
  const isAtMark = Math.abs(belowMarkL) < ROUNDING;
  const where = isAtMark ? 'at' : belowMarkL < 0 ? 'above' : 'below';
  return message('loss-level', {
    level: factKind === 'top-up' ? 'filled' : where,
    offMark: measure('volume', Math.abs(belowMarkL)),
    first: lostL === null ? 'yes' : 'no',
    lost: measure('volume', Math.max(0, lostL ?? 0)),
  });
}

/** What a block shows, where the sum or its own departure passes its limit. */
export function findingOf(state: RisingState, block: LossBlock, context: WatchContext): Finding | null {
  const { settings, cohort } = context;
  const { departure, limits } = block;
  const isOff = block.cusum > limits.cusum || departure.standardised > limits.departure;
  if (!isOff || !block.rose) return null;
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
      message('basis-loss-cusum', {
        slack: settings.cusumSlack,
        distance: told('distance', settings.falseAlarmKm, 'km'),
      }),
      message('basis-loss-usual', {
        usual: told('volume', cohort.mu0, 'L', 'exact'),
        spread: told('volume', cohort.sigma, 'L', 'exact'),
        known: context.isCohortKnown ? 'cohort' : 'assumed',
        level: told('volume', context.levelNoiseL, 'L', 'exact'),
      }),
    ],
  };
}
