import fc from 'fast-check';

/** Histories end at this instant. */
export const NOW = Date.parse('2026-04-02T15:00:00Z');
export const DAY = 86_400_000;
const MINUTE = 60_000;
/** History covers this many days before the present. */
export const DAYS = 240;
export const VEHICLES = 2;

/** How one vehicle really runs over time, and when its odometer was replaced. */
export const wayArb = fc.record({
  kmPerDay: fc.integer({ min: 10, max: 120 }),
  kmPerDayLater: fc.integer({ min: 10, max: 200 }),
  replacedOn: fc.option(fc.integer({ min: 60, max: DAYS - 20 }), { nil: null }),
});
export type Way = { kmPerDay: number; kmPerDayLater: number; replacedOn: number | null };

export const whenArb = { vehicle: fc.nat(VEHICLES - 1), day: fc.nat(DAYS - 1), minute: fc.nat(1439) };
export type When = { vehicle: number; day: number; minute: number };

const shownArb = fc.constantFrom(
  'good',
  'good',
  'good',
  'good',
  'near',
  'typed ten times',
  'far back',
  'in miles',
  'replaced',
);
export type Shown = 'good' | 'near' | 'typed ten times' | 'far back' | 'in miles' | 'replaced';

export const usageArb = fc.record({
  ...whenArb,
  shown: shownArb,
  hours: fc.constantFrom('none', 'none', 'good', 'typed ten times'),
  source: fc.constantFrom<Source[]>('dash', 'dash', 'telematics', 'fuel-card'),
});
export type Source = 'dash' | 'telematics' | 'fuel-card';
export type Usage = When & { shown: Shown; hours: 'none' | 'good' | 'typed ten times'; source: Source };

export const instantOf = ({ day, minute }: When): number => NOW - (DAYS - day) * DAY + minute * MINUTE;

/** What the odometer shows at an instant, as the person reading it writes it down. */
export function kmShown(ways: Way[], when: When, how: Shown): number {
  const way = ways[when.vehicle] as Way;
  const days = when.day + when.minute / 1440;
  const trueKm = (at: number) =>
    20_000 + way.kmPerDay * Math.min(at, 150) + way.kmPerDayLater * Math.max(0, at - 150);
  const isNew = way.replacedOn !== null && days >= way.replacedOn;
  const km = isNew ? trueKm(days) - trueKm(way.replacedOn as number) + 7 : trueKm(days);
  const written = {
    good: km,
    near: km - 3,
    'typed ten times': km * 10,
    'far back': km - 3000,
    'in miles': km / 1.609344,
    replaced: 7,
  };
  return Math.max(0, Math.round(written[how] * 10) / 10);
}
