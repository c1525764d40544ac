import { Controller, Get, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { TodayPage } from './today.dto.js';
import { TodayService } from './today.service.js';

@ApiTags('due list')
@Controller('v1/today')
export class TodayController {
  constructor(private readonly today: TodayService) {}

  @Get()
  @ApiOperation({
    summary: 'List the vehicles that need a decision now, the worst first, with reasons and actions',
  })
  @ApiOkResponse({ type: TodayPage })
  page(@Query() query: PageQueryDto): Promise<TodayPage> {
    return this.today.page(query);
  }
}
