import { evaluateRoadTest, type RoadTestReading } from '../../checks/road-test.js';
import { findingsByCode } from '../contract/computed-values.js';
import type { SafetyKind } from '../contract/kind-of-reading.js';
import { placeOf, strengthInSystem } from '../contract/reading-context.js';
import { message } from '../messages.js';

type Finding = 'leak-on-the-road' | 'warning-lamp' | 'overheated' | 'thermostat-stuck-open';

/** Finding by each code that the rule computes. */
const BY_CODE: Readonly<Record<string, Finding>> = {
  leak: 'leak-on-the-road',
  lamp: 'warning-lamp',
  overheated: 'overheated',
  'stuck-open': 'thermostat-stuck-open',
};

export const roadTest: SafetyKind<RoadTestReading, Finding> = {
  sheetValues: [
    'coolantBase',
    'targetStrengthPercent',
    'capRatingKpa',
    'thermostatOpensC',
    'highTemperatureAlarmC',
  ],

  evaluate: (reading, by) =>
    evaluateRoadTest(reading, {
      ...placeOf(by),
      base: by.coolant?.base,
      strengthPercent: strengthInSystem(by),
      capRatingKpa: by.coolant?.capRatingKpa,
      thermostatOpensC: by.coolant?.thermostatOpensC,
      highTemperatureAlarmC: by.coolant?.highTemperatureAlarmC,
      practice: by.practice,
    }),

  findings: (reading, { verdict, computed }) =>
    verdict === 'fail' ? (findingsByCode(computed.findings, BY_CODE) ?? bySight(reading)) : [],

  unsafe: {
    inWords: () => ({ what: message('finding-failed-road-test'), until: message('settled-by-road-test') }),
  },
};

function bySight({ leakSeen, warningLamp }: RoadTestReading): Finding[] {
  const found: Finding[] = [];
  if (leakSeen === true) found.push('leak-on-the-road');
  if (warningLamp === true) found.push('warning-lamp');
  return found.length === 0 ? ['overheated'] : found;
}
