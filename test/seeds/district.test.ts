import { epochDayOf } from '../../src/domain/calendar/civil-date.js';
import { historyOf } from '../../seeds/history.js';
import { isWorkday, vehiclesAsOf } from '../../seeds/vehicles.js';

const districtOf = (today: string) => {
  const day = epochDayOf(today);
  const vehicles = vehiclesAsOf(day);
  return { vehicles, history: historyOf(vehicles, day) };
};

// A day after a daylight-saving change, a leap day, and the last day of a year.
const DAYS = ['2027-03-15', '2028-02-29', '2026-12-31'];

describe('the demonstration district', () => {
  it('is the same for the same day, to the last reading', () => {
    expect(JSON.stringify(districtOf('2027-03-15'))).toBe(JSON.stringify(districtOf('2027-03-15')));
    expect(districtOf('2027-03-16').history).not.toEqual(districtOf('2027-03-15').history);
  });

  it.each(DAYS)('has nothing in the future on %s, and two years of history', (today) => {
    const { history } = districtOf(today);
    const dates = [
      ...history.usage.map(({ readAt }) => readAt),
      ...history.reports.map(({ performedAt }) => performedAt),
      ...history.readings.map(({ body }) => body.takenAt),
    ].map((at) => at.slice(0, 10));
    expect(dates.filter((date) => date >= today)).toEqual([]);
    const read = history.usage.map(({ readAt }) => readAt.slice(0, 10)).sort();
    expect(epochDayOf(today) - epochDayOf(read[0] as string)).toBeGreaterThan(720);
  });

  it.each(DAYS)(
    'has every counter run forward on %s, except for one new odometer and one typing error',
    (today) => {
      const { vehicles, history } = districtOf(today);
      const backwards = vehicles.flatMap(({ unitNumber }) => {
        const shown = [
          ...history.usage
            .filter((reading) => reading.unitNumber === unitNumber)
            .map((reading) => ({
              at: reading.readAt,
              odometer: reading['odometer'] as { value: number } | undefined,
            })),
          ...history.reports
            .filter((report) => report.unitNumber === unitNumber)
            .map((report) => ({
              at: report.performedAt,
              odometer: report['odometer'] as { value: number } | undefined,
            })),
        ].sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
        return shown.some(
          ({ odometer }, index) => odometer && odometer.value < (shown[index - 1]?.odometer?.value ?? 0),
        )
          ? [unitNumber]
          : [];
      });
      expect(backwards).toEqual(['PU-119', 'CV-206']);
    },
  );

  it('works on working days', () => {
    const { history } = districtOf('2027-03-15');
    const days = history.reports.map(({ performedAt }) => epochDayOf(performedAt.slice(0, 10)));
    expect(days.filter((day) => !isWorkday(day))).toEqual([]);
    // 15 March 2027 is a Monday.
    expect(isWorkday(epochDayOf('2027-03-15'))).toBe(true);
    expect(isWorkday(epochDayOf('2027-03-14'))).toBe(false);
  });
});
