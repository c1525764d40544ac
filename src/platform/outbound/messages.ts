import { messages } from '../../domain/message.js';

export const message = messages({
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
  'attempt-address-refused': { host: 'text', why: 'message' },
  'attempt-not-made': { why: 'message', detail: 'text' },

  // Why no connection served.
  'connection-refused': {},
  'connection-host-not-found': {},
  'connection-host-unreachable': {},
  'connection-too-slow': {},
  'connection-certificate': {},
  'connection-not-encrypted': {},
  'connection-lost': {},
  'connection-failed': {},
});
