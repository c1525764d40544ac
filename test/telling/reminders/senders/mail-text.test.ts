import { mailText } from '../../../../src/telling/reminders/senders/mail-text.js';
import type { MessageBody } from '../../../../src/telling/reminders/senders/message-body.js';

const line = (unitNumber: string, state: string, more: object = {}) => ({
  ...{ vehicle: { unitNumber }, component: 'drive-belt', item: null, action: 'replace', state },
  ...{ dueOn: '2026-04-06', lateOn: '2026-04-09', atOnce: false, causes: [] },
  dueAt: { odometer: null, engineHours: null },
  ...{ releasedWithFindings: false, ...more },
});

function digestOf(...dueLines: object[]) {
  const data = {
    ...{ total: dueLines.length, shown: dueLines.length, dueLines },
    ...{ lossAlerts: [], failedReadings: [], heldReadings: [] },
  };
  return mailText({ type: 'digest', data } as unknown as MessageBody);
}

describe('the mail of a digest', () => {
  it('lists first what is due at once, late or not, and counts it in the subject', () => {
    const { subject, text, html } = digestOf(
      line('R-1', 'late'),
      line('R-2', 'late', { atOnce: true, causes: [{ text: 'The belt is worn.' }] }),
      line('R-3', 'due', { atOnce: true }),
      line('R-4', 'due'),
    );
    expect(subject).toBe('4 items need attention, 2 at once, 1 late');
    expect(text).toMatch(
      [
        'At once',
        '- R-2: drive-belt: replace, late, do it at once; due 2026-04-06. Why: The belt is worn.',
        '- R-3: drive-belt: replace, due at once; due 2026-04-06',
        '',
        'Late',
        '- R-1: drive-belt: replace, late; due 2026-04-06',
        '',
        'Due',
        '- R-4: drive-belt: replace, due; due 2026-04-06',
      ].join('\n'),
    );
    expect(text.startsWith('At once\n')).toBe(true);
    expect(html.indexOf('<h2>At once</h2>')).toBeLessThan(html.indexOf('<h2>Late</h2>'));
  });

  it('leaves a postponed line in its window', () => {
    const { subject, text } = digestOf(line('R-1', 'window', { atOnce: true }));
    expect(subject).toBe('1 item needs attention');
    expect(text.startsWith('In their window\n- R-1: drive-belt: replace, in its window; due')).toBe(true);
  });

  it('gives only the number of items if nothing is due at once or late', () => {
    expect(digestOf(line('R-1', 'due'), line('R-2', 'due')).subject).toBe('2 items need attention');
  });
});
