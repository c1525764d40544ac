import { Injectable, Logger } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { Temporal } from 'temporal-polyfill';
import { DataSource } from 'typeorm';
import { AttachmentFilesService } from '../../facts/attachments/attachment-files.service.js';
import { workForFleet } from '../../register/fleets/fleet-work.js';
import { Clock } from '../../platform/clock/clock.js';
import { Config } from '../../platform/config/config.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { message } from '../../platform/words/messages.js';
import { Transactions } from '../../platform/database/transactions.js';
import { DEFECT_MONTHS } from './kept-by-law.js';
import {
  forgetEnded,
  forgetLeftPeople,
  forgetReceiversAnswers,
  forgetWhoConfirmed,
  forgetWhoDidJobs,
  forgetWhoImported,
  forgetWhoReported,
  hidePeopleInAudit,
  removeAuditEntries,
  removeEndedSessions,
  removeUsedLinks,
  type RetentionStep,
  voidOldAttachments,
} from './retention.queries.js';

const AT_A_TIME = 1000;
/** Maximum number of batches in a run. The next night does the rest. */
const MOST_TIMES = 200;

/** Removes, every night, personal data that has reached the age in the settings. */
@Injectable()
export class RetentionService {
  private readonly logger = new Logger('retention');

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly files: AttachmentFilesService,
    private readonly clock: Clock,
    private readonly config: Config,
  ) {}

  /** Applies the retention settings to a fleet; harmless to repeat. */
  async applyToFleet(fleetId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async () => {
      const { peopleMonths, leftPeopleMonths, auditMonths, attachmentMonths } = this.config.retention;
      await this.repeat('ended sessions', 1, removeEndedSessions);
      await this.repeat('sign-in links', 1, removeUsedLinks);
      if (leftPeopleMonths > 0) await this.repeat('people who left', leftPeopleMonths, forgetLeftPeople);
      if (auditMonths > 0) await this.repeat('audit entries', auditMonths, removeAuditEntries);
      if (peopleMonths > 0) await this.forgetPeople(peopleMonths);
      if (attachmentMonths > 0) {
        const reason = message('voided-past-retention', { months: attachmentMonths });
        await this.repeat('attachments', attachmentMonths, voidOldAttachments(reason, this.clock.now()));
      }
      await this.files.removeAllVoided();
    });
  }

  private async forgetPeople(months: number): Promise<void> {
    const keptSince = this.monthsAgo(DEFECT_MONTHS);
    await this.repeat('names in job reports', months, forgetWhoDidJobs(keptSince));
    await this.repeat('names in defects', Math.max(months, DEFECT_MONTHS), forgetWhoReported);
    await this.repeat('names in imports', months, forgetWhoImported);
    for (const table of ['spec_sheets', 'interval_plans'] as const)
      await this.repeat('names of those who confirmed', months, forgetWhoConfirmed(table));
    await this.repeat('names of tokens and addresses of targets', months, forgetEnded);
    await this.repeat('answers of receivers', months, forgetReceiversAnswers);
    await this.repeat('names in audit entries', months, hidePeopleInAudit);
  }

  private monthsAgo(months: number): Date {
    const now = Temporal.Instant.fromEpochMilliseconds(this.clock.now().getTime()).toZonedDateTimeISO('UTC');
    return new Date(now.subtract({ months }).epochMilliseconds);
  }

  private async repeat(what: string, months: number, step: RetentionStep): Promise<void> {
    const { fleetId } = fleetScope();
    const before = this.monthsAgo(months);
    let done = 0;
    for (let times = 0; times < MOST_TIMES; times++) {
      const count = await this.transactions.write((tx) => step(tx, fleetId, before, AT_A_TIME));
      done += count;
      if (count < AT_A_TIME) break;
    }
    if (done > 0) this.logger.log(`${done} ${what} were older than ${months} months`);
  }
}
