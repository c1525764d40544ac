import { messages } from '../domain/message.js';

export const message = messages({
  'command-usage': { usage: 'text' },
  'command-not-understood': { why: 'text', usage: 'text' },
  'port-taken': { port: 'text' },
  'port-for-root': { port: 'text' },
  'host-not-here': { host: 'text' },
  'host-port-not-usable': { host: 'text', port: 'text', why: 'text' },
  'command-one-of': { option: 'text', given: 'text', allowed: 'text', usage: 'text' },
  'command-option-missing': { option: 'text', usage: 'text' },
  'command-fleet-id': { given: 'text', usage: 'text' },
  'command-name-length': { length: 'number', longest: 'number', usage: 'text' },
  'command-file-exists': { path: 'text' },
  'command-file-not-writable': { path: 'text', why: 'text' },
  'command-stand-in': { given: 'text', usage: 'text' },
  'command-nobody-found': {},
  'command-up-to-date': {},
  'command-migrated': { applied: 'list' },
  'command-logins-ready': {},
  'command-vehicles': { done: 'number' },
  'command-rebuilt': { vehicles: 'number', differences: 'number' },
});
