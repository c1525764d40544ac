import { fillingSteps } from '../../../src/domain/filling/filling-steps.js';
import type { MeasureValue } from '../../../src/domain/message.js';
import { measure } from '../../../src/domain/quantities/measures.js';
import { english } from '../../support/english.js';

// Common practice for the order, no source.
describe('the steps of a fill', () => {
  const FILL = { code: 'legacy', values: { text: 'Fill: 9.5 L' } };
  const textsOf = (isByVacuum: boolean, vacuumLeaves: MeasureValue | null) => {
    const { prepare, fill, finish } = fillingSteps({ fill: FILL, isByVacuum, vacuumLeaves });
    return [...prepare, ...fill, ...finish].map(({ step, message }) => ({ step, text: english(message) }));
  };

  it('are each done once, in their order', () => {
    for (const isByVacuum of [false, true])
      expect(textsOf(isByVacuum, null).map(({ step }) => step)).toEqual([
        'prepare-fill',
        'fill',
        'top-up-to-mark',
        'warm-up',
        'cool-down',
        'read-strength',
        'top-up',
      ]);
  });

  it('open the bleeders and the heater, fill, top up before starting, warm up, cool down, read and top up cold', () => {
    expect(
      textsOf(false, null)
        .map(({ text }) => text)
        .join('\n'),
    ).toMatch(
      /^Open the bleeders and set the heater on full\nFill: 9.5 L\n.*Top up to the mark before starting.*\nWarm up until the thermostat opens and the heater is hot.*no leak\n.*cool.*\nCold, read the strength\nCold, top up to the mark/,
    );
  });

  it('keep the bleeders closed while a vacuum is in the system, and tell the air that it leaves', () => {
    const [prepare, , topUp] = textsOf(true, measure('volume', 2.2));
    expect(prepare?.text).toMatch(/heater on full\. Keep the bleeders closed/);
    expect(topUp?.text).toMatch(/^Open the bleeders .*: the vacuum leaves up to 2.2 L of air/);
  });
});
