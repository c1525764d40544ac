import { messages } from '../../../domain/message.js';

export const message = messages({
  'target-no-mail': {},
  'address-not-mail': {},
  'address-control-character': { character: 'text' },
  'address-not-web': {},
  'address-scheme': { scheme: 'text' },
  'address-with-password': {},
  'address-this-machine': {},
  'address-leads-to': { host: 'text', why: 'message' },
  'ip-not-an-address': {},
  'ip-metadata': {},
  'ip-loopback': {},
  'ip-not-public': {},
  'ip-range-not-public': { range: 'text' },
  'ip-public-unencrypted': {},
});
