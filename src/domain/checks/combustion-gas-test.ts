import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { message } from './messages.js';

/** A test fluid that turns colour where combustion gas reaches the coolant. */
export interface CombustionGasTestReading {
  kind: 'combustion-gas-test';
  positive: boolean;
  engineHot?: boolean | null;
  underLoad?: boolean | null;
}

/**
 * Judges a combustion-gas test. A positive one fails. One negative test excludes nothing, since a
 * crack can open only hot or under load.
 *
 * The tester is fitted cold, with the level lowered, and the engine is warmed up with it on: a hot
 * cap is never opened for a test, and a tester that draws in coolant tells nothing. A leaking EGR
 * cooler or injector sleeve lets gas in as a head gasket does, so each is checked before a head
 * comes off.
 *
 * Source: common practice.
 *
 * @returns computed is empty
 * @example evaluateCombustionGasTest({ kind: 'combustion-gas-test', positive: false, engineHot: true, underLoad: true }).verdict // 'inconclusive'
 */
export function evaluateCombustionGasTest(reading: CombustionGasTestReading): Evaluation {
  return {
    verdict: reading.positive ? 'fail' : 'inconclusive',
    reasons: [
      reading.positive
        ? message('combustion-gas-found')
        : message('combustion-gas-not-found', { lacking: lackingIn(reading) }),
    ],
    computed: {},
    cautions: cautionsFor('combustion-gas-test'),
    basis: [message('basis-combustion-gas')],
  };
}

function lackingIn({ engineHot, underLoad }: CombustionGasTestReading) {
  if (engineHot === true) return underLoad === true ? 'nothing' : 'load';
  return underLoad === true ? 'hot' : 'both';
}
