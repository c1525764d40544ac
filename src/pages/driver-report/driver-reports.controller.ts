import { Controller, Get, Param, Post, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import { RouteConfig } from '@nestjs/platform-fastify';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { TAKES_FILE } from '../../platform/input/file-body.js';
import { answerTo } from './answering.js';
import { DriverReportsService } from './driver-reports.service.js';

/**
 * The pages that the label on a vehicle leads to. They are for people without an account, so they
 * are pages only, and no part of the API document.
 */
@ApiExcludeController()
@Controller('l')
export class DriverReportsController {
  constructor(private readonly reports: DriverReportsService) {}

  @Get(':code')
  ask(
    @Param('code') code: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    return answerTo(request, reply, (reader) => this.reports.ask(code, reader));
  }

  @Post(':code')
  @RouteConfig(TAKES_FILE)
  report(
    @Param('code') code: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    return answerTo(request, reply, (reader) => this.reports.report(code, reader, request));
  }

  @Get(':code/:report')
  follow(
    @Param('code') code: string,
    @Param('report') report: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    return answerTo(request, reply, (reader) => this.reports.follow(code, report, reader));
  }
}
