import { scramVerifier } from '../../../src/platform/migration/scram.js';

describe('the verifier of a password', () => {
  // RFC 7677, section 3: user "user", password "pencil", this salt and 4096 iterations. The stored
  // and the server key there follow
  // from the proof and the server signature that it prints.
  it('matches the example in RFC 7677', () => {
    const salt = Buffer.from('W22ZaJ0SNY7soEsUEjb6gQ==', 'base64');
    expect(scramVerifier('pencil', salt)).toBe(
      'SCRAM-SHA-256$4096:W22ZaJ0SNY7soEsUEjb6gQ==$WG5d8oPm3OtcPnkdi4Uo7BkeZkBFzpcXkuLmtbsT4qY=:wfPLwcE6nTWhTAmQ7tl2KeoiWGPlZqQxSrmfPwDl2dU=',
    );
  });

  it('is different each time', () => {
    expect(scramVerifier('pencil')).not.toBe(scramVerifier('pencil'));
  });
});
