import { Injectable, type OnApplicationBootstrap, type OnApplicationShutdown } from '@nestjs/common';
import type { FastifyInstance } from 'fastify';
import { createServer, type Server } from 'node:http';
import { collectDefaultMetrics, Histogram, Registry } from 'prom-client';
import { Config } from '../config/config.js';

/** Seconds; from a cached list to a batch of 5,000 readings. */
const BUCKETS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10];

/** What this process measures of itself, as Prometheus reads it; on an address of its own where the settings name one. */
@Injectable()
export class Metrics implements OnApplicationBootstrap, OnApplicationShutdown {
  /** Where features add what they measure. */
  readonly registry = new Registry();
  private readonly durations = new Histogram({
    name: 'weephole_http_request_duration_seconds',
    help: 'How long requests took, by method, route and status',
    labelNames: ['method', 'route', 'status'],
    buckets: BUCKETS,
    registers: [this.registry],
  });
  private server: Server | null = null;

  constructor(private readonly config: Config) {
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

  /** Where the separate address listens; its port is the kernel's choice when the settings say 0. */
  get listensOn(): { address: string; port: number } | null {
    const address = this.server?.address();
    return address && typeof address === 'object' ? address : null;
  }

  async onApplicationBootstrap(): Promise<void> {
    const { metricsAddress } = this.config;
    if (metricsAddress === null) return;
    const server = createServer((request, reply) => {
      if (request.method !== 'GET' || request.url?.split('?', 1)[0] !== '/metrics') {
        reply.writeHead(404).end();
        return;
      }
      this.text().then(
        (text) => reply.writeHead(200, { 'content-type': this.contentType }).end(text),
        () => reply.writeHead(500).end(),
      );
    });
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen(metricsAddress.port, metricsAddress.host, resolve);
    });
    this.server = server;
  }

  async onApplicationShutdown(): Promise<void> {
    const { server } = this;
    this.server = null;
    if (server === null) return;
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  }
}

/** Times every request by the pattern of its route: a path with its ids would make a series of every vehicle. */
export function registerRequestDurations(fastify: FastifyInstance, metrics: Metrics): void {
  fastify.addHook('onResponse', (request, reply, done) => {
    const route = request.is404 ? 'none' : (request.routeOptions.url ?? 'none');
    metrics.observe(request.method, route, reply.statusCode, reply.elapsedTime / 1000);
    done();
  });
}
