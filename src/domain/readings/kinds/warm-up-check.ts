import { evaluateWarmUpCheck, type WarmUpCheckReading } from '../../checks/warm-up-check.js';
import type { SafetyKind } from '../contract/kind-of-reading.js';
import { message } from '../messages.js';

type Finding = 'leak-at-warm-up' | 'thermostat-shut' | 'fan-dead' | 'warm-up-failed';

export const warmUpCheck: SafetyKind<WarmUpCheckReading, Finding> = {
  sheetValues: [],

  evaluate: (reading) => evaluateWarmUpCheck(reading),

  findings: (check, { verdict }) => (verdict === 'fail' ? failuresOf(check) : []),

  unsafe: {
    inWords: () => ({
      what: message('finding-failed-warm-up-check'),
      until: message('settled-by-warm-up-check'),
    }),
  },
};

function failuresOf(check: WarmUpCheckReading): Finding[] {
  const found: Finding[] = [];
  if (check.leakSeen === true) found.push('leak-at-warm-up');
  if (check.thermostatOpened === false) found.push('thermostat-shut');
  if (check.fanCycled === false) found.push('fan-dead');
  const isAirTrapped =
    check.heatAtVents === false ||
    check.temperatureSteady === false ||
    check.levelAfterCooling === 'below-mark';
  if (isAirTrapped || found.length === 0) found.push('warm-up-failed');
  return found;
}
