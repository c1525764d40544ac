import type { CalculatorExample } from './calculator-example.js';

export const projection: CalculatorExample = {
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
};
