import type { ProjectionCalculation } from '../calculator.dto.js';
import type { CalculatorExample } from './calculator-example.js';

const request: ProjectionCalculation = {
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
};

export const projection: CalculatorExample = {
  title: 'Weekly readings of a vehicle that runs about 300 km a week, due every 10,000 km or 12 months',
  request,
  evaluate: (calculators) => calculators.projection(request),
};
