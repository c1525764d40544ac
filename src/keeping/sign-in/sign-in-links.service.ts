import { Injectable } from '@nestjs/common';
import { v7 as uuidv7 } from 'uuid';
import { Person } from '../../entities/person.entity.js';
import { SignInLink } from '../../entities/sign-in-link.entity.js';
import { newSignInSecret } from '../../platform/access/secrets-of-sign-in.js';
import { Clock } from '../../platform/clock/clock.js';
import { lockedRowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { conflict } from '../../platform/problems/problem.js';
import { message } from './messages.js';
import { qrCodeOf, signInAddress } from './sign-in-address.js';
import type { SignInLinkView } from './sign-in-link.dto.js';
import { removeOldLinks } from './sign-in.queries.js';

const LASTS_MS = 10 * 60_000;

@Injectable()
export class SignInLinksService {
  constructor(
    private readonly transactions: Transactions,
    private readonly clock: Clock,
  ) {}

  /** @param base the address under which the manager sees the service */
  async create(personId: string, base: string): Promise<SignInLinkView> {
    const id = uuidv7();
    const { secret, hash } = newSignInSecret('link');
    const shown = await this.transactions.write(async (tx) => {
      const person = await lockedRowOf(tx, Person, personId, 'person');
      if (person.leftAt !== null) throw conflict('person-left', message('person-left'));
      const now = this.clock.now();
      const expiresAt = new Date(now.getTime() + LASTS_MS);
      const { fleetId } = person;
      await removeOldLinks(tx, fleetId, personId, now);
      await tx.insert(SignInLink, {
        ...{ fleetId, id, personId, hash, createdAt: now, expiresAt, redeemedAt: null },
      });
      return { id, personId, createdAt: now.toISOString(), expiresAt: expiresAt.toISOString() };
    });
    // Added outside the transaction, so that the answer stored for the Idempotency-Key does not
    // contain the code: only its hash is ever stored.
    if (shown.id !== id) return { ...shown, url: null, qrCode: null };
    const url = signInAddress(base, secret);
    return { ...shown, url, qrCode: qrCodeOf(url) };
  }
}
