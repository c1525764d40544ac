import { resolveRule } from '../../../src/domain/intervals/resolve-rule.js';
import { lineKey } from '../../../src/domain/intervals/resets.js';
import type { Limits } from '../../../src/domain/intervals/types.js';
import { STARTER_SETS } from '../../../src/domain/starters/messages.js';
import { STARTERS, starterOf } from '../../../src/domain/starters/starter-sets.js';
import { isElectric } from '../../../src/domain/vehicles/circuits.js';

const codes = (messages: readonly { code: string }[]): string[] => messages.map(({ code }) => code);

describe('the ready-made sets', () => {
  it('are listed, each once', () => {
    expect(STARTERS.map(({ code }) => code)).toEqual(STARTER_SETS);
    for (const code of STARTER_SETS) expect(starterOf(code).code).toBe(code);
  });

  it.each(STARTERS)('$code has intervals that can be followed, each work once', ({ intervals }) => {
    const limits = ['everyKm', 'everyMonths', 'everyHours'] as const;
    for (const { rule } of intervals) {
      expect(resolveRule(rule, 'normal')).toBeDefined();
      const severe: Limits = rule.severe ?? {};
      for (const limit of limits)
        expect(severe[limit] ?? 0).toBeLessThanOrEqual(rule[limit] ?? (severe[limit] == null ? 0 : -1));
      expect(rule.isStarter).toBe(true);
    }
    const works = intervals.map(({ rule }) => lineKey(rule));
    expect(new Set(works).size).toBe(works.length);
  });

  it.each(STARTERS)('$code gives every value with what it rests on, and no torques', (set) => {
    for (const { values } of set.circuits)
      for (const { value, basis, why } of Object.values(values)) {
        expect(value).toBeDefined();
        expect(basis.code).toMatch(/^starter-basis-/);
        expect(why.code).toMatch(/^starter-why-/);
      }
    expect(codes(set.leftOut)).toContain('starter-left-torques');
    expect(codes(set.cautions).at(-1)).toBe('caution-maker');
  });

  it('opens no circuit beside high voltage, tests none by pressure, and gives its caution first', () => {
    const electric = starterOf('battery-electric');
    expect(electric.cautions[0]?.code).toBe('caution-high-voltage');
    expect(electric.circuits.every(({ circuit }) => isElectric(circuit))).toBe(true);
    for (const { values } of electric.circuits) {
      expect(values.coolantTechnology.value).toBe('low-conductivity');
      expect(Object.keys(values)).not.toContain('capRatingKpa');
      expect(Object.keys(values)).not.toContain('holdTestMethod');
    }
    for (const { rule } of electric.intervals) {
      expect(['inspect', 'test']).toContain(rule.action);
      expect(rule.circuit).toBeDefined();
    }
  });

  it('has the additives of a diesel with wet liners checked more often than its coolant is replaced', () => {
    const { circuits, intervals } = starterOf('diesel-heavy');
    expect(circuits[0].values.coolantCondition?.value).toEqual({ heavyDuty: true, wetLiners: true });
    const months = (action: string) =>
      intervals.find(({ rule }) => rule.component === 'coolant' && rule.action === action)?.rule.everyMonths;
    expect(months('test')).toBeLessThan(months('replace') ?? 0);
  });

  it('keeps every cap at or below the 13 psi that the weakest usual system of its kind bears', () => {
    for (const { circuits } of STARTERS)
      for (const { values } of circuits) expect(values.capRatingKpa?.value ?? 0).toBeLessThanOrEqual(90);
  });
});
