import { LOSS_DEFAULTS } from '../../../../src/domain/loss/facts/settings.js';
import { watchPartLots } from '../../../../src/domain/loss/parts/part-cohort.js';
import type { Component } from '../../../../src/domain/intervals/types.js';
import type { PartFitting } from '../../../../src/domain/loss/parts/part-exposure.js';
import { partFittingsOf, type PartHistory } from '../../../../src/domain/loss/parts/part-fittings.js';
import { action, onDay } from '../facts.js';

const replaced = (day: number, km: number | null, lot: string | null, more = {}) => ({
  jobId: `job-${day}`,
  at: onDay(day),
  km,
  component: 'water-pump' as Component,
  item: null,
  partNumber: 'P1',
  lot,
  ...more,
});

function history(replacements: PartHistory['replacements'], more: Partial<PartHistory> = {}): PartHistory {
  return {
    vehicleId: 'v1',
    watchedFrom: { at: onDay(0), km: 1000 },
    last: { at: onDay(400), km: 41_000 },
    replacements,
    alertsRaisedAt: [],
    ...more,
  };
}

const shown = (fittings: PartFitting[]) =>
  fittings.map(({ lot, fittedOdometerKm, lastOdometerKm, isRemoved }) => [
    lot,
    fittedOdometerKm,
    lastOdometerKm,
    isRemoved,
  ]);

describe('the parts a vehicle has run with', () => {
  it('follow one another, the first of unknown lot, the last up to the last usage reading', () => {
    const fittings = partFittingsOf(history([replaced(200, 21_000, 'B'), replaced(100, 11_000, 'A')]), [
      'water-pump',
    ]);
    expect(shown(fittings)).toEqual([
      [null, 1000, 11_000, true],
      ['A', 11_000, 21_000, true],
      ['B', 21_000, 41_000, false],
    ]);
    expect(fittings[1]?.factId).toBe('job-100');
  });

  it('count from the first fact on record, since no alert could arise before', () => {
    expect(shown(partFittingsOf(history([replaced(-500, 100, 'A')]), ['water-pump']))).toEqual([
      ['A', 1000, 41_000, false],
    ]);
    const both = history([replaced(-500, 100, 'A'), replaced(-300, 300, 'B')]);
    expect(shown(partFittingsOf(both, ['water-pump']))).toEqual([['B', 1000, 41_000, false]]);
    expect(
      partFittingsOf(history([replaced(100, 11_000, 'A')], { watchedFrom: null }), ['water-pump']),
    ).toEqual([]);
  });

  it('are of unknown lot throughout where the component was never replaced', () => {
    expect(shown(partFittingsOf(history([]), ['water-pump']))).toEqual([[null, 1000, 41_000, false]]);
    expect(partFittingsOf(history([replaced(100, 11_000, 'A')]), [])).toEqual([]);
  });

  it('are followed item by item', () => {
    const belts = history([
      replaced(100, 11_000, 'A', { component: 'drive-belt', item: 'accessory' }),
      replaced(200, 21_000, 'B', { component: 'drive-belt', item: 'fan' }),
    ]);
    expect(shown(partFittingsOf(belts, ['drive-belt']))).toEqual([
      [null, 1000, 11_000, true],
      ['A', 11_000, 41_000, false],
      [null, 1000, 21_000, true],
      ['B', 21_000, 41_000, false],
    ]);
  });

  it('are left out where usage is unknown, and end where they began when nothing was read since', () => {
    expect(shown(partFittingsOf(history([replaced(100, null, 'A')]), ['water-pump']))).toEqual([]);
    expect(shown(partFittingsOf(history([replaced(500, 51_000, 'A')]), ['water-pump']))).toEqual([
      [null, 1000, 51_000, true],
      ['A', 51_000, 51_000, false],
    ]);
  });
});

describe('an alert about a lot', () => {
  const pump = (vehicleId: string, lot: string, day: number, alertDays: number[]): PartFitting => ({
    factId: `job-${vehicleId}`,
    vehicleId,
    component: 'water-pump',
    partNumber: 'P1',
    lot,
    fittedAt: onDay(day),
    fittedOdometerKm: 10_000,
    lastAt: onDay(365),
    lastOdometerKm: 46_500,
    isRemoved: false,
    alertsRaisedAt: alertDays.map(onDay),
  });
  const struck = [1, 2, 3].map((n) => pump(`a${n}`, 'A', 1, [99 + n]));
  const sound = Array.from({ length: 40 }, (_, n) => pump(`b${n}`, 'B', 0, []));
  const watch = (fittings: PartFitting[], actions: ReturnType<typeof action>[] = []) =>
    watchPartLots({ fittings, actions }, LOSS_DEFAULTS, onDay(365));

  it('is not taken back when further lots come into use', () => {
    const later = Array.from({ length: 30 }, (_, n) => pump(`c${n}`, `C${n}`, 200, []));
    expect(watch([...struck, ...sound]).map(({ key }) => key)).toEqual([
      'part-cohort:water-pump:P1:A:job-a1',
    ]);
    expect(watch([...struck, ...sound, ...later]).map(({ key }) => key)).toEqual([
      'part-cohort:water-pump:P1:A:job-a1',
    ]);
  });

  it('keeps what a person did when a job that came in late becomes its first evidence', () => {
    const done = [action(150, 'part-cohort:water-pump:P1:A:job-a1', 'acknowledge')];
    const late = pump('a0', 'A', 0.5, [99]);
    expect(watch([...struck, late, ...sound], done)).toMatchObject([
      { key: 'part-cohort:water-pump:P1:A:job-a0', status: 'acknowledged' },
    ]);
  });
});
