import { Injectable } from '@nestjs/common';
import { Counter, Histogram } from 'prom-client';
import { Metrics } from '../../../platform/observability/metrics.js';
import type { ReminderNews, ReminderStatus, ReminderTarget } from '../../../entities/reminder.entity.js';
import type { SendResult } from '../senders/send-result.js';

type Kind = ReminderTarget['kind'];

/** In seconds, from an immediate delivery up to the day over which attempts are repeated. */
const LATENCY_BUCKETS = [0.1, 0.5, 1, 5, 15, 60, 300, 1800, 7200, 28_800, 100_000];
const SEND_BUCKETS = [0.01, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30];

/** What a worker measures about the reminders it sends. */
@Injectable()
export class DeliveryMetrics {
  private readonly outcomes: Counter<'kind' | 'news' | 'outcome'>;
  private readonly latency: Histogram<'kind'>;
  private readonly attempts: Histogram<'kind' | 'outcome'>;

  constructor(metrics: Metrics) {
    const registers = [metrics.registry];
    this.outcomes = new Counter({
      name: 'weephole_reminders_total',
      help: 'Reminders that came to their end, by kind of target, what they told of and how they ended',
      labelNames: ['kind', 'news', 'outcome'],
      registers,
    });
    this.latency = new Histogram({
      name: 'weephole_reminder_delivery_seconds',
      help: 'From when a reminder could first be sent until its receiver had it, by kind of target',
      labelNames: ['kind'],
      buckets: LATENCY_BUCKETS,
      registers,
    });
    this.attempts = new Histogram({
      name: 'weephole_reminder_attempt_seconds',
      help: 'How long attempts at sending took, by kind of target and how they went',
      labelNames: ['kind', 'outcome'],
      buckets: SEND_BUCKETS,
      registers,
    });
  }

  ended(kind: Kind, news: ReminderNews, outcome: ReminderStatus): void {
    this.outcomes.inc({ kind, news, outcome });
  }

  attempted(kind: Kind, { outcome, durationMs }: SendResult): void {
    this.attempts.observe({ kind, outcome }, durationMs / 1000);
  }

  /** @param from when the reminder could first be sent */
  took(kind: Kind, from: Date, to: Date): void {
    this.latency.observe({ kind }, Math.max(0, (to.getTime() - from.getTime()) / 1000));
  }
}
