import { requestOf } from './arguments';
import { command, progress } from './command';
import { answer } from './extractForm';
import { help } from './help';
import { toJson } from './json';
import { monitoringAnswer } from './monitoringForm';
import { writeProtected } from './protectedTables';
import { qualityAnswer } from './qualityForm';
import { screeningAnswer } from './screeningForm';
import { estimates } from './tableForm';
import { unitsAnswer } from './unitsForm';
import { visitsAnswer } from './visitsForm';

async function output(args: readonly string[]): Promise<string> {
  const request = requestOf(args);
  switch (request.form) {
    case 'help': return help;
    case 'extract': {
      const { options } = request, given = await answer(options, progress);
      return options.protected === undefined ? `${toJson(given)}\n` : `${(await writeProtected(given, options.protected, options)).join('\n')}\n`;
    }
    case 'units': return `${toJson(await unitsAnswer(request.options, progress))}\n`;
    case 'screening': return `${toJson(await screeningAnswer(request.options, progress))}\n`;
    case 'monitoring': return `${toJson(await monitoringAnswer(request.options, progress))}\n`;
    case 'visits': return `${toJson(await visitsAnswer(request.options, progress))}\n`;
    case 'quality': return `${toJson(await qualityAnswer(request.options, progress))}\n`;
    case 'table': return `${toJson(await estimates(request.options))}\n`;
  }
}

await command(output);
