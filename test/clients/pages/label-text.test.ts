import { readLabelText } from '../../../clients/pages/src/phone/scan/label-text.js';

const CODE = 'AZTp3WcYdU6Kk3o5T5bUJQ7m0dJ9o1fS2uQk8r4yX1A';
const ID = '0196a4e2-7b3c-7d10-9f5e-2a4b6c8d0e1f';

describe('the text of a scanned code', () => {
  it.each([
    [`https://weephole.example/l/${CODE}`, { is: 'label', code: CODE }],
    [` http://10.0.0.5:3000/l/${CODE}?lang=es\n`, { is: 'label', code: CODE }],
    [`https://weephole.example/phone/v/${ID}`, { is: 'vehicle', id: ID }],
    [`https://weephole.example/phone/v/${ID.toUpperCase()}/report`, { is: 'vehicle', id: ID }],
    [`https://weephole.example/desk/vehicles/${ID}`, { is: 'vehicle', id: ID }],
  ])('%j leads to a vehicle', (text, labelled) => {
    expect(readLabelText(text)).toEqual(labelled);
  });

  it.each([
    '',
    'R-114',
    `https://weephole.example/l/${CODE.slice(1)}`,
    `https://weephole.example/l/${CODE}A`,
    `https://parts.example/${CODE}`,
    'https://weephole.example/phone/v/12',
  ])('%j leads to none', (text) => {
    expect(readLabelText(text)).toBeNull();
  });
});
