import { kaplanMeier } from '../../../src/domain/reliability/kaplan-meier.js';
import { livesOf, shockAbsorbers } from './shock-absorbers.js';

describe('the Kaplan–Meier curve', () => {
  it('gives the published values of the shock absorbers', () => {
    const survival = new Map(kaplanMeier(shockAbsorbers()).map((step) => [step.age, step.survival]));
    // Meeker & Escobar (1998), table C.2; digits by R survival 3.5-3 (survfit).
    expect(survival.get(6700)).toBeCloseTo(0.97368421, 8);
    expect(survival.get(9120)).toBeCloseTo(0.94504644, 8);
    expect(survival.get(12200)).toBeCloseTo(0.9086985, 7);
    expect(survival.get(27490)).toBeCloseTo(0.2873759, 7);
    expect(survival.size).toBe(11);
  });

  it('has the limits of Greenwood on the log-log scale', () => {
    // By hand: 10 lives, 2 failed at 5: S = 0.8, Greenwood 2/(10·8) = 0.025, ln S = −0.2231436,
    // spread 1.959964·√0.025/0.2231436 = 1.388781; 0.8^e^±1.388781 = 0.408691 and 0.945873.
    const [step] = kaplanMeier(livesOf([5, 5], [6, 7, 8, 9, 10, 11, 12, 13]));
    expect(step).toMatchObject({ age: 5, atRisk: 10, failed: 2 });
    expect(step!.survival).toBeCloseTo(0.8, 12);
    expect(step!.low).toBeCloseTo(0.408691, 5);
    expect(step!.high).toBeCloseTo(0.945873, 5);
  });

  it('lets a part fail before another of the same age is taken out, and counts none before it was watched', () => {
    expect(kaplanMeier(livesOf([5], [5]))[0]).toMatchObject({ atRisk: 2, survival: 0.5 });
    const late = { age: 9, entry: 5, failed: false, count: 3 };
    // Entered at 5: not at risk at 5 itself.
    expect(kaplanMeier([...livesOf([5, 8]), late]).map(({ atRisk }) => atRisk)).toEqual([2, 4]);
  });

  it('ends at nothing, without limits, where the last part failed', () => {
    expect(kaplanMeier(livesOf([5, 8])).at(-1)).toEqual({
      ...{ age: 8, atRisk: 1, failed: 1, survival: 0, low: null, high: null },
    });
    expect(kaplanMeier([])).toEqual([]);
  });
});
