import { messages } from '../../domain/message.js';

const CLAIM = { claim: 'text' } as const;

export const message = messages({
  'authorization-missing': {},
  'authorization-malformed': {},
  'authorization-repeated': {},
  'token-unknown': {},
  'session-unknown': {},
  'session-repeated': {},
  'page-of-other-site': { site: 'text' },
  'page-header-missing': {},
  'token-expired': {},
  'token-in-address-malformed': {},
  'token-in-address-and-header': {},
  'token-not-for-addresses': { role: 'text' },
  'token-not-calendar': {},
  'request-without-token': {},
  'role-not-allowed': { role: 'text', allowed: 'list' },
  'idempotency-key-malformed': {},
  'sign-in-expired': {},
  'sign-in-not-valid': {},
  'sign-in-provider-away': {},
  'sign-in-fleet-missing': {},
  'sign-in-without-fleet': CLAIM,
  'sign-in-without-role': { claim: 'text', roles: 'list' },
  'sign-in-depots-unreadable': CLAIM,
  'sign-in-without-depots': CLAIM,
  'sign-in-of-nobody': {},
  'sign-in-code-refused': {},
});
