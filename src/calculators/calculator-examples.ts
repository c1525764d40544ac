import { cautionsFor } from '../domain/cautions/cautions.js';
import type { CalculatorName } from './calculator-answers.js';

export interface CalculatorExample {
  title: string;
  request: object;
  answer: object;
}

/** A worked example of each calculator for the API document; a test posts each and compares the answer. */
export const CALCULATOR_EXAMPLES: Record<CalculatorName, CalculatorExample> = {
  'hold-test': {
    title: 'A vacuum of 22 inHg held for 6 minutes at 1,500 m, the engine cold',
    request: {
      method: 'vacuum',
      start: { value: 22, unit: 'inHg' },
      end: { value: 21.7, unit: 'inHg' },
      minutes: 6,
      gaugeResolution: { value: 0.5, unit: 'inHg' },
      elevation: { value: 1500, unit: 'm' },
      target: { value: 23, unit: 'inHg' },
      engineCold: true,
    },
    answer: {
      verdict: 'pass',
      reasons: ['Held: lost 0.3 inHg in 6 minutes; 0.8 inHg in 5 minutes is allowed.'],
      computed: {
        loss: { value: 1.015916592, unit: 'kPa' },
        temperatureCorrectedLoss: null,
        expandedUncertainty: { value: 1.977268399, unit: 'kPa' },
        ratePerMinute: { value: 0.169319432, unit: 'kPa' },
        allowedLossHere: { value: 2.826073808, unit: 'kPa' },
        leakRatePaM3PerS: null,
        standardCm3PerMin: null,
        atmosphere: { value: 84.55967669, unit: 'kPa' },
        greatestVacuum: { value: 84.55967669, unit: 'kPa' },
        targetHere: { value: 64.99969758, unit: 'kPa' },
        targetOnGauge: { value: 64.34138417, unit: 'kPa' },
        temperatureInDoubt: false,
        overPressured: false,
        lostTooMuch: false,
      },
      cautions: cautionsFor('vacuum-test'),
      basis: [
        'U.S. Standard Atmosphere 1976 at 4921 ft: 24.97 inHg',
        'allowed loss 1 inHg (common practice)',
        'held for 5 minutes (common practice)',
        'target 23 inHg at sea level, reduced with the air pressure (trade rule: 1 inHg per 1,000 ft)',
        'the loss allowed is reduced with the air pressure as the target is (choked flow)',
        'on this gauge: 19 inHg, of which 0.8 inHg may be lost in 5 minutes',
        'rate of loss against the allowed rate; u = resolution/√12 and reader/√12 per reading, and what the temperature may have done (JCGM 100); guard band of 2 u for a pass, 1.645 u for a fail (JCGM 106)',
      ],
    },
  },
  'freeze-point': {
    title: 'A refractometer shows −36 °C where the winter goes to −30 °C',
    request: {
      base: 'ethylene-glycol',
      scale: 'ethylene-glycol',
      method: 'refractometer',
      value: { value: -36, unit: 'C' },
      designLowTemperature: { value: -30, unit: 'C' },
    },
    answer: {
      verdict: 'pass',
      reasons: ['Read as -36 °C, 49.5 volume %.'],
      computed: {
        freezePoint: { value: -36, unit: 'C' },
        strengthVolumePercent: 49.29230769,
        strengthMassPercent: 51.69230769,
        table:
          'ASHRAE Handbook Fundamentals 2001, freezing points of ethylene glycol and water, linear interpolation',
        beyondTable: false,
      },
      cautions: cautionsFor('coolant-sample'),
      basis: [
        'ASHRAE Handbook Fundamentals 2001, freezing points of ethylene glycol and water, linear interpolation',
        'uncertainty of a refractometer ±1 °C (k = 2), ASTM D3321',
        'margin 3 °C below the lowest temperature (common practice)',
        'at least 40 volume % (ASTM D6210), at most 60 volume % (ASTM D6210)',
      ],
    },
  },
  dilution: {
    title: '10 qt at 30 %, to be brought to 65 % with concentrate',
    request: {
      capacity: { value: 10, unit: 'qt' },
      strengthPercent: 30,
      refillStrengthPercent: 100,
      targetStrengthPercent: 65,
    },
    answer: {
      verdict: null,
      reasons: ['Drain 5 qt of 10 qt and replace it with 100 %: 65 % once mixed.'],
      computed: { drain: { value: 4.73176473, unit: 'L' }, resultStrengthPercent: 65 },
      cautions: cautionsFor('filling'),
      basis: ['x = V·(C_t - C_0)/(C_r - C_0), strengths by volume, volumes taken as additive'],
    },
  },
  'boil-over': {
    title: '50 % ethylene glycol under a 15 psi cap at 1,500 m',
    request: {
      base: 'ethylene-glycol',
      strengthPercent: 50,
      capRating: { value: 15, unit: 'psi' },
      elevation: { value: 1500, unit: 'm' },
    },
    answer: {
      verdict: null,
      reasons: ['50 % ethylene glycol boils at 261 °F under a 15 psi cap at 4921 ft.'],
      computed: {
        boilsAt: { value: 127.1551121, unit: 'C' },
        absolutePressure: { value: 187.9810361, unit: 'kPa' },
      },
      cautions: cautionsFor('cooling-system'),
      basis: [
        'U.S. Standard Atmosphere 1976 at 4921 ft: 12.3 psi',
        "Raoult's law with the saturation line of water (IAPWS-IF97 region 4); 50 volume % = 52.4 mass %; good to ±2.7 °F",
      ],
    },
  },
  'vacuum-fill': {
    title: 'Filling 10 L from a vacuum of 24 inHg at sea level',
    request: {
      vacuum: { value: 24, unit: 'inHg' },
      volume: { value: 10, unit: 'L' },
      elevation: { value: 0, unit: 'm' },
    },
    answer: {
      verdict: null,
      reasons: [
        '20 % of the evacuated space stays air.',
        'The system draws in about 8 L; top up to the mark before starting the engine: up to 2 L.',
      ],
      computed: {
        airLeftFraction: 0.1978946226,
        expectedUptake: { value: 8.021053774, unit: 'L' },
        topUpBeforeStart: { value: 1.978946226, unit: 'L' },
        greatestVacuum: { value: 101.325, unit: 'kPa' },
      },
      cautions: cautionsFor('filling'),
      basis: [
        'U.S. Standard Atmosphere 1976 at 0 ft: 29.92 inHg',
        "air left = 1 - vacuum / air pressure (Boyle's law, constant temperature)",
      ],
    },
  },
  'torque-set': {
    title: 'A pump of twelve bolts at 89 lbf·in, of which eleven were posted',
    request: {
      torque: { value: 89, unit: 'in.lbf' },
      count: 12,
      unit: 'in.lbf',
      values: [89, 89, 89, 89, 89, 89, 89, 89, 89, 89, 89],
    },
    answer: {
      verdict: 'fail',
      reasons: ['1 of 12 is missing: tighten it now, before the vehicle leaves, and post all 12.'],
      computed: {
        torques: [
          { value: 10.05564978, unit: 'N.m' },
          { value: 10.05564978, unit: 'N.m' },
          { value: 10.05564978, unit: 'N.m' },
          { value: 10.05564978, unit: 'N.m' },
          { value: 10.05564978, unit: 'N.m' },
          { value: 10.05564978, unit: 'N.m' },
          { value: 10.05564978, unit: 'N.m' },
          { value: 10.05564978, unit: 'N.m' },
          { value: 10.05564978, unit: 'N.m' },
          { value: 10.05564978, unit: 'N.m' },
          { value: 10.05564978, unit: 'N.m' },
        ],
        outside: [],
        overTightened: [],
        missing: 1,
      },
      cautions: cautionsFor('fastening'),
      basis: ['89 lbf·in ±10 % (common practice)', "wrench's setting: simple acceptance"],
    },
  },
  belt: {
    title: 'A 6PK1880 belt, half a millimetre out of line over 220 mm',
    request: {
      designation: '6PK1880',
      offset: { value: 0.5, unit: 'mm' },
      span: { value: 220, unit: 'mm' },
      driverDiameter: { value: 150, unit: 'mm' },
      drivenDiameter: { value: 100, unit: 'mm' },
      driverRpm: 1000,
      drivenRpm: 1455,
    },
    answer: {
      verdict: 'pass',
      reasons: ['In line: 0.13°, at most 0.33°.', 'The belt slips 3 %; there is no limit to judge slip by.'],
      computed: {
        ribs: 6,
        effectiveLength: { value: 1880, unit: 'mm' },
        width: { value: 21.36, unit: 'mm' },
        alignmentDegrees: 0.1302174565,
        slipPercent: 3,
      },
      cautions: cautionsFor('belt-drive'),
      basis: [
        'PK profile: ribs 3.56 mm apart, effective length in mm (ISO 9981, ISO 9982)',
        'alignment = atan(offset/span), limit 0.58 mm in 100 mm = 0.33° (SAE J1596)',
        'slip = 100·(1 - N2·d2/(N1·d1))',
      ],
    },
  },
  projection: {
    title: 'Weekly readings of a vehicle that runs about 300 km a week, due every 10,000 km or 12 months',
    request: {
      readings: [
        { readAt: '2026-02-05T08:00:00-07:00', odometer: { value: 58000, unit: 'km' } },
        { readAt: '2026-02-12T08:00:00-07:00', odometer: { value: 58310, unit: 'km' } },
        { readAt: '2026-02-19T08:00:00-07:00', odometer: { value: 58590, unit: 'km' } },
        { readAt: '2026-02-26T08:00:00-07:00', odometer: { value: 58900, unit: 'km' } },
        { readAt: '2026-03-05T08:00:00-07:00', odometer: { value: 59205, unit: 'km' } },
      ],
      interval: { everyDistance: { value: 10000, unit: 'km' }, everyMonths: 12 },
      lastDone: { on: '2025-08-01', odometer: { value: 50000, unit: 'km' } },
      duty: 'normal',
      timeZone: 'America/Denver',
      asOf: '2026-03-10',
    },
    answer: {
      verdict: null,
      reasons: [
        '43 km a day, 41 km to 45 km, by 5 days with a reading.',
        'Due on 2026-03-23 by distance, between 2026-03-22 and 2026-03-25; its state on 2026-03-10 is window.',
      ],
      computed: {
        dailyDistance: { value: 42.94642857, unit: 'km', low: 40.52926743, high: 45.36358972 },
        method: 'theil-sen-90-days',
        estimatedOdometer: { value: 59419.73214, unit: 'km' },
        trigger: 'distance',
        windowOpensOn: '2026-02-17',
        dueOn: '2026-03-23',
        lateOn: '2026-04-11',
        earliestOn: '2026-03-22',
        latestOn: '2026-03-25',
      },
      cautions: [
        'A projected date is an estimate: a leak, a warning lamp or a noise does not wait for it.',
        "Intervals come from the vehicle maker's service information, and the harder of two duties is the safer to plan by.",
        "Torque values, procedures and coolant types come from the vehicle maker's service information; have the work done by qualified or licensed people where local rules ask for it.",
      ],
      basis: [
        'daily rate: Theil–Sen slope (Sen 1968) over the last value of each day in the 90 days up to the last reading; 90 % limits from the scatter of daily use',
        'counted from 2025-08-01 (last done), whichever limit comes first',
        'window 1500 km, 30 days: default, common practice',
        'grace 800 km, 14 days: default, common practice',
        'daily distance: theil-sen-90-days',
        'dates in America/Denver',
      ],
    },
  },
};
