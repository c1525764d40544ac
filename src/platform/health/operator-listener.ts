import { IN_LOGS } from '../words/render.js';
import { Injectable, Logger, type OnApplicationBootstrap, type OnApplicationShutdown } from '@nestjs/common';
import { createServer, type Server, type ServerResponse } from 'node:http';
import { Config } from '../config/config.js';
import type { MetricsAddress } from '../config/metrics-address.js';
import { Problem } from '../problems/problem.js';
import { HealthService } from './health.service.js';
import { Metrics } from '../observability/metrics.js';

/**
 * Serves metrics and health on METRICS_ADDRESS. This is never the API's address, which a proxy may
 * expose to the internet. A worker has no other address.
 */
@Injectable()
export class OperatorListener implements OnApplicationBootstrap, OnApplicationShutdown {
  private readonly logger = new Logger('metrics');
  private server: Server | null = null;

  constructor(
    private readonly config: Config,
    private readonly metrics: Metrics,
    private readonly health: HealthService,
  ) {}

  /** Where it listens. The kernel chooses the port when the setting is 0. */
  get listensOn(): { address: string; port: number } | null {
    const address = this.server?.address();
    return address && typeof address === 'object' ? address : null;
  }

  async onApplicationBootstrap(): Promise<void> {
    const { metricsAddress } = this.config;
    if (metricsAddress === null) return;
    const server = createServer((request, reply) => {
      const path = request.method === 'GET' ? (request.url ?? '').split('?', 1)[0] : '';
      this.answer(path ?? '', reply).catch(() => reply.writeHead(500).end());
    });
    try {
      await listen(server, metricsAddress);
      this.server = server;
    } catch (error) {
      const isTaken = (error as NodeJS.ErrnoException).code === 'EADDRINUSE';
      if (!isTaken || !metricsAddress.isDefault) throw error;
      this.logger.warn(
        `127.0.0.1:${metricsAddress.port} is taken, so this process serves no metrics. Give it an address with METRICS_ADDRESS, or set that to off.`,
      );
    }
  }

  async onApplicationShutdown(): Promise<void> {
    const { server } = this;
    this.server = null;
    if (server === null) return;
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  }

  private async answer(path: string, reply: ServerResponse): Promise<void> {
    if (path === '/metrics') {
      const text = await this.metrics.text();
      reply.writeHead(200, { 'content-type': this.metrics.contentType }).end(text);
    } else if (path === '/health/live') {
      json(reply, 200, { status: 'alive' });
    } else if (path === '/health/ready') {
      try {
        json(reply, 200, await this.health.readiness());
      } catch (error) {
        if (!(error instanceof Problem)) throw error;
        json(reply, error.status, error.toBody(path, IN_LOGS), error.headers);
      }
    } else {
      reply.writeHead(404).end();
    }
  }
}

function json(
  reply: ServerResponse,
  status: number,
  body: object,
  headers: Record<string, string> = {},
): void {
  const type = status < 400 ? 'application/json' : 'application/problem+json';
  reply.writeHead(status, { ...headers, 'content-type': type, 'cache-control': 'no-store' });
  reply.end(JSON.stringify(body));
}

function listen(server: Server, { host, port }: MetricsAddress): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, host, () => {
      server.removeListener('error', reject);
      resolve();
    });
  });
}
