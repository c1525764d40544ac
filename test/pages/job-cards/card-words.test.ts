import { COMMON_PRACTICE_BASIS } from '../../../src/pages/job-cards/page/common-practice-basis.js';
import { lossOnGauge, onGauge } from '../../../src/pages/job-cards/page/on-gauge.js';
import { ENGLISH } from '../../../src/platform/words/languages/en.js';

describe('the words of a job card', () => {
  it('write the figures of a gauge as the reader’s language does', () => {
    expect(lossOnGauge('vacuum', { value: 0.835, unit: 'inHg' }, 'en-US')).toBe('0.8 inHg');
    expect(lossOnGauge('vacuum', { value: 0.835, unit: 'inHg' }, 'de-DE')).toBe('0,8 inHg');
    expect(onGauge('pressure', { value: 15.5, unit: 'psi' }, 'de-DE')).toBe('15,5 psi');
  });

  it('keep every default of the trade where there is little room', () => {
    const onCard = Object.entries(ENGLISH.messages).filter(([code]) => /^basis-(card|hold-test)-/.test(code));
    const defaults = onCard.filter(([, text]) => text.includes('common practice')).map(([code]) => code);
    expect([...COMMON_PRACTICE_BASIS].sort()).toEqual(defaults.sort());
  });
});
