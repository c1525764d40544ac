import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation.js';
import { conclude, noFindings } from './findings.js';

/** A test fluid that turns colour where combustion gas reaches the coolant. */
export interface CombustionGasTestReading {
  kind: 'combustion-gas-test';
  positive: boolean;
  engineHot?: boolean | null;
  underLoad?: boolean | null;
}

/**
 * Judges a combustion-gas test: a positive one fails; one negative excludes nothing, since a crack can open only hot or under load.
 *
 * Source: common practice.
 *
 * @returns computed is empty
 * @example evaluateCombustionGasTest({ kind: 'combustion-gas-test', positive: false, engineHot: true, underLoad: true }).verdict // 'inconclusive'
 */
export function evaluateCombustionGasTest(reading: CombustionGasTestReading): Evaluation {
  const findings = noFindings();
  if (reading.positive) {
    findings.fails.push('Combustion gas is in the coolant: head gasket, head or liner. Do not run it hard.');
  } else {
    const missing = [
      ...(reading.engineHot === true ? [] : ['hot']),
      ...(reading.underLoad === true ? [] : ['under load']),
    ];
    findings.doubts.push(
      `No combustion gas was found, but one negative test excludes nothing: repeat it ${missing.length > 0 ? missing.join(' and ') : 'on another day, hot and under load'}, or run a pressure hold test.`,
    );
  }
  return {
    ...conclude(findings, ''),
    computed: {},
    cautions: cautionsFor('running-engine'),
    basis: ['a positive test fails, one negative excludes nothing (common practice)'],
  };
}
