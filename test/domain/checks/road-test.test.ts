import {
  evaluateRoadTest as judgeDrive,
  type RoadTestReading,
} from '../../../src/domain/checks/road-test.js';
import { convert } from '../../../src/domain/quantities/units.js';
import { judgingInEnglish } from '../../support/refusals-in-english.js';

const evaluateRoadTest = judgingInEnglish(judgeDrive);

const DRIVEN = {
  kind: 'road-test',
  minutes: 20,
  distanceKm: 12,
  highestCoolantTemperatureC: 96,
  warningLamp: false,
  leakSeen: false,
} as const satisfies RoadTestReading;

/** 50 volume % under 15 psi at sea level boils at about 129.8 °C by Raoult's law, ±1.5 K. */
const SYSTEM = {
  base: 'ethylene-glycol',
  strengthPercent: 50,
  capRatingKpa: convert(15, 'psi', 'kPa'),
  elevationM: 0,
} as const;
const SHEET = { ...SYSTEM, thermostatOpensC: 82, highTemperatureAlarmC: 110 };

const judge = (reading: Partial<RoadTestReading>, around: object = SHEET) =>
  evaluateRoadTest({ ...DRIVEN, ...reading }, around);

describe('road test', () => {
  // Common practice, no source: 15 minutes, thermostat less 5 K, the alarm.
  it.each([
    [60, 'fail', ['stuck-open']],
    [76.9, 'fail', ['stuck-open']],
    [77, 'pass', []],
    [96, 'pass', []],
    [109.9, 'pass', []],
    [110, 'fail', ['overheated']],
    [125, 'fail', ['overheated']],
  ])('at %d °C, with 82 and 110 °C on the sheet, is %s', (highestCoolantTemperatureC, verdict, findings) => {
    expect(judge({ highestCoolantTemperatureC })).toMatchObject({ verdict, computed: { findings } });
  });

  it.each([
    ['180 °F', convert(180, 'F', 'C'), 'fail'],
    ['235 °F', convert(235, 'F', 'C'), 'fail'],
    ['225 °F', convert(225, 'F', 'C'), 'pass'],
  ])('takes limits and reading in °F: %s', (_, highestCoolantTemperatureC, verdict) => {
    const around = {
      ...SYSTEM,
      thermostatOpensC: convert(195, 'F', 'C'),
      highTemperatureAlarmC: convert(235, 'F', 'C'),
    };
    const { verdict: found, reasons } = judge({ highestCoolantTemperatureC, unit: 'F' }, around);
    expect(found).toBe(verdict);
    expect(reasons.join()).not.toMatch(/°C/);
  });

  it.each([
    [14.9, 'inconclusive'],
    [null, 'inconclusive'],
    [15, 'pass'],
  ])('of %p minutes is %s where nothing else is wrong', (minutes, verdict) => {
    expect(judge({ minutes }).verdict).toBe(verdict);
  });

  it('does not call a thermostat stuck open that had no time to be reached, and calls overheating at once', () => {
    expect(judge({ minutes: 5, highestCoolantTemperatureC: 60 }).verdict).toBe('inconclusive');
    expect(judge({ minutes: 5, highestCoolantTemperatureC: 112 }).verdict).toBe('fail');
  });

  it.each([
    [60, 'inconclusive'],
    [119, 'inconclusive'],
    [121, 'fail'],
    [129, 'fail'],
  ])(
    'at %d °C, with neither temperature on the sheet, is %s: 10 K under boiling',
    (highestCoolantTemperatureC, verdict) => {
      expect(judge({ highestCoolantTemperatureC }, SYSTEM).verdict).toBe(verdict);
    },
  );

  it('passes by nothing less than both temperatures', () => {
    expect(judge({}, { ...SYSTEM, thermostatOpensC: 82 }).verdict).toBe('inconclusive');
    expect(judge({}, { ...SYSTEM, highTemperatureAlarmC: 110 }).verdict).toBe('inconclusive');
    expect(judge({}, {}).verdict).toBe('inconclusive');
    expect(judge({}, { ...SYSTEM, highTemperatureAlarmC: 110 }).reasons.join()).toMatch(
      /the spec sheet lacks the thermostat's opening temperature\. Add it from/,
    );
    expect(judge({}, {}).reasons.join()).toMatch(
      /lacks the thermostat's opening temperature and the high-temperature alarm\. Add them from/,
    );
    expect(
      judge({ highestCoolantTemperatureC: 60 }, { ...SYSTEM, thermostatOpensC: 82 }).computed.findings,
    ).toEqual(['stuck-open']);
  });

  it('fails at boiling even under an alarm that is set higher', () => {
    // Water under no cap at 3,000 m boils at about 90 °C.
    const open = { ...SHEET, strengthPercent: 0, capRatingKpa: 0, elevationM: 3000 };
    const { verdict, reasons } = judge({ highestCoolantTemperatureC: 95 }, open);
    expect(verdict).toBe('fail');
    expect(reasons[0]).toMatch(/boils at about 90 °C/);
  });

  it('fails for a lamp or a leak, and asks for what nobody looked at', () => {
    expect(judge({ warningLamp: true }).computed.findings).toEqual(['lamp']);
    expect(judge({ leakSeen: true }).computed.findings).toEqual(['leak']);
    expect(judge({ leakSeen: null }).verdict).toBe('inconclusive');
    expect(judge({ warningLamp: null }).verdict).toBe('inconclusive');
    expect(judge({ highestCoolantTemperatureC: null }).verdict).toBe('inconclusive');
    expect(judge({ distanceKm: 0 }).verdict).toBe('inconclusive');
  });

  it('names °F for a temperature that no system has', () => {
    expect(() => judge({ highestCoolantTemperatureC: 205 })).toThrow(/Was it 205 °F\?/);
  });
});
