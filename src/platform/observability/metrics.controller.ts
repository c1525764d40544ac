import { Controller, Get, Res } from '@nestjs/common';
import { ApiOperation, ApiProduces, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Config } from '../config/config.js';
import { Problem } from '../http/problem.js';
import { Metrics } from './metrics.js';

@ApiTags('health')
@Controller('metrics')
export class MetricsController {
  constructor(
    private readonly metrics: Metrics,
    private readonly config: Config,
  ) {}

  @Get()
  @ApiOperation({
    summary: 'What the process measures of itself, for Prometheus',
    description: 'Not here where METRICS_ADDRESS gives it an address of its own.',
  })
  @ApiProduces('text/plain')
  @ApiResponse({ status: 200, description: 'Prometheus text', schema: { type: 'string' } })
  async text(@Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    if (this.config.metricsAddress !== null)
      throw new Problem(404, 'no-such-path', 'The metrics are served on an address of their own.');
    void reply.header('content-type', this.metrics.contentType).header('cache-control', 'no-store');
    return this.metrics.text();
  }
}
