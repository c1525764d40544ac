import { firstAddress } from '../../../src/facts/telematics/polling/read-page.js';

const NOW = new Date('2026-04-02T16:00:00Z');
const ASKED = { kind: 'iso-15143-3', address: 'https://a.example.org/Fleet/1', completeSince: null } as const;

describe('the address that a poll begins with', () => {
  it('is where the last one had to stop', () => {
    const resumeAt = 'https://a.example.org/Fleet/7';
    expect(firstAddress({ ...ASKED, resumeAt }, NOW).href).toBe(resumeAt);
  });

  it('is never of another server, which must not get the sign-in', () => {
    for (const resumeAt of ['https://b.example.org/Fleet/7', 'http://a.example.org/Fleet/7'])
      expect(firstAddress({ ...ASKED, resumeAt }, NOW).href).toBe(ASKED.address);
  });
});
