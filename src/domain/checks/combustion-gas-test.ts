import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';

/** A test fluid that turns colour where combustion gas reaches the coolant. */
export interface CombustionGasTestReading {
  kind: 'combustion-gas-test';
  positive: boolean;
  engineHot?: boolean | null;
  underLoad?: boolean | null;
}

/**
 * A hot cap is never opened for a test; a tester that draws in coolant tells nothing. Common
 * practice.
 */
const FITTED_COLD = 'Fit the tester cold, with the level lowered, then warm the engine up';

/**
 * Judges a combustion-gas test: a positive one fails; one negative excludes nothing, since a crack
 * can open only hot or under load.
 *
 * The tester is fitted cold, with the level lowered, and the engine warmed up with it; whatever is
 * found, no hot cap is opened. A leaking EGR cooler or injector
 * sleeve lets gas in as a head gasket does, so that each is checked before a head comes off.
 *
 * Source: common practice.
 *
 * @returns computed is empty
 * @example evaluateCombustionGasTest({ kind: 'combustion-gas-test', positive: false, engineHot: true, underLoad: true }).verdict // 'inconclusive'
 */
export function evaluateCombustionGasTest(reading: CombustionGasTestReading): Evaluation {
  const findings = noFindings();
  if (reading.positive) {
    findings.fails.push(
      'Combustion gas is in the coolant: park it. Then check head gasket, head, liners, EGR cooler and injector sleeves.',
    );
  } else {
    const missing = [
      ...(reading.engineHot === true ? [] : ['hot']),
      ...(reading.underLoad === true ? [] : ['under load']),
    ];
    findings.doubts.push(
      `No combustion gas was found, but one negative test excludes nothing. ${FITTED_COLD}; repeat it ${missing.length > 0 ? missing.join(' and ') : 'on another day, hot and under load'}, or run a pressure hold test.`,
    );
  }
  return {
    ...conclude(findings, ''),
    computed: {},
    cautions: cautionsFor('combustion-gas-test'),
    basis: ['a positive test fails, one negative excludes nothing (common practice)'],
  };
}
