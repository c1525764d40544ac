import { evaluateConductivity as judge } from '../../../src/domain/coolant-condition/conductivity.js';
import { judgingInEnglish } from '../../support/refusals-in-english.js';

const evaluateConductivity = judgingInEnglish(judge);
const reading = (conductivityUsPerCm: number, more: object = {}) => ({
  ...({ kind: 'conductivity', conductivityUsPerCm } as const),
  ...more,
});

describe('conductivity of a coolant', () => {
  // Conductivity rises with temperature, by an amount that is not known of the coolant (for water
  // about 2 % a kelvin, ISO 7888, from memory): only one side can be concluded away from 25 °C.
  it.each([
    [reading(80, { compensatedTo25C: true }), 'pass'],
    [reading(100, { compensatedTo25C: true }), 'pass'],
    [reading(101, { compensatedTo25C: true }), 'fail'],
    [reading(80, { sampleTemperatureC: 25 }), 'pass'],
    [reading(80, { sampleTemperatureC: 60 }), 'pass'],
    [reading(120, { sampleTemperatureC: 60 }), 'inconclusive'],
    [reading(80, { sampleTemperatureC: 5 }), 'inconclusive'],
    [reading(120, { sampleTemperatureC: 5 }), 'fail'],
    [reading(120), 'inconclusive'],
  ] as const)('%j is judged %s by a limit of 100', (measured, verdict) => {
    expect(evaluateConductivity(measured, 100).verdict).toBe(verdict);
  });

  it('has no default limit', () => {
    const judged = evaluateConductivity(reading(4000, { compensatedTo25C: true }), null);
    expect(judged).toMatchObject({
      verdict: null,
      reasons: [
        "4,000 µS/cm is not judged: the spec sheet has no limit. Add one from the vehicle maker's information.",
      ],
    });
  });

  it('never calls the high-voltage system safe, and warns of it whatever the verdict', () => {
    const judged = evaluateConductivity(reading(40, { compensatedTo25C: true }), 100);
    expect(judged.reasons[0]).toContain('says nothing about the insulation');
    expect(judged.cautions[0]).toContain('only people qualified for it');
    expect(judged.cautions[0]).toContain('proven free of voltage');
  });
});
