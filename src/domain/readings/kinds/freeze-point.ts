import {
  evaluateFreezePoint,
  type FreezePointReading,
  freezePointUncertaintyC,
} from '../../strength/freeze-point.js';
import { strengthUncertaintyPercent } from '../../strength/strength-uncertainty.js';
import { freezePointByStrip } from '../../coolant-condition/test-strip.js';
import { measuredValue, numberIn } from '../contract/computed-values.js';
import type { KindOfReading } from '../contract/kind-of-reading.js';

export const freezePoint: KindOfReading<FreezePointReading, 'strength-wrong' | 'strength-unclear'> = {
  sheetValues: ['coolantBase', 'strengthMaxPercent'],

  evaluate: (reading, by) => {
    const earlier = by.pouredSinceReplacement ?? [];
    const evaluation = evaluateFreezePoint(reading, {
      base: by.coolant?.base,
      basesInSystem: [...(by.basesSinceFlush ?? []), ...earlier.flatMap(({ base }) => base ?? [])],
      designLowTemperatureC: by.designLowTemperatureC,
      strengthMaxPercent: by.coolant?.strengthMaxPercent,
      practice: by.practice,
    });
    return freezePointByStrip(evaluation, reading, by.takenOn ?? null);
  },

  findings: (_reading, { verdict }) => {
    if (verdict === 'fail') return ['strength-wrong'];
    return verdict === 'inconclusive' ? ['strength-unclear'] : [];
  },

  strengthPercent: (_reading, computed) => numberIn(computed.strengthVolumePercent),

  judgedFact: (reading, fact, { evaluation: { verdict, computed }, limits, isMixed }) => {
    const freezePointC = measuredValue(computed.freezePoint);
    const base = reading.base ?? limits.coolant?.base ?? 'ethylene-glycol';
    const uncertainty =
      freezePointC === null
        ? null
        : strengthUncertaintyPercent(base, freezePointC, freezePointUncertaintyC(reading.method));
    return {
      ...fact,
      kind: 'freeze-point',
      // Without both the strength and how well it is known, nothing can be concluded from it.
      strengthVolumePercent: uncertainty === null ? null : numberIn(computed.strengthVolumePercent),
      uncertaintyPercent: uncertainty ?? 0,
      method: reading.method,
      verdict,
      ...(isMixed ? { mixed: true } : {}),
    };
  },
};
