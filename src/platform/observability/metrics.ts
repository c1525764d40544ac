import { Injectable } from '@nestjs/common';
import { collectDefaultMetrics, Histogram, Registry } from 'prom-client';

/** In seconds, from a cached list up to a batch of 5,000 readings. */
const BUCKETS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10];

/** This process's own measurements, in the format Prometheus reads. */
@Injectable()
export class Metrics {
  /** Features register their own metrics here. */
  readonly registry = new Registry();
  private readonly durations = new Histogram({
    name: 'weephole_http_request_duration_seconds',
    help: 'How long requests took, by method, route and status',
    labelNames: ['method', 'route', 'status'],
    buckets: BUCKETS,
    registers: [this.registry],
  });

  constructor() {
    collectDefaultMetrics({ register: this.registry, prefix: 'weephole_' });
  }

  get contentType(): string {
    return this.registry.contentType;
  }

  text(): Promise<string> {
    return this.registry.metrics();
  }

  observe(method: string, route: string, status: number, seconds: number): void {
    this.durations.observe({ method, route, status: String(status) }, seconds);
  }
}
