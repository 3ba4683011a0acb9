import { basename } from 'node:path';
import { MonitoringQuestion } from '../contract/monitoringQuestion';
import { monitor } from '../screening/monitoring/monitor';
import type { Monitoring, MonitoringOverview, NotMonitored } from '../screening/monitoring/monitoringResult';
import { monitorAll } from '../screening/monitoring/overview';
import type { MonitoringOptions } from './arguments';
import { existingText, parsed } from './questionFile';
import { refuseUnknown } from './unitsForm';
import { withExtract } from './withExtract';

/** The chart of the hospital or surgeon that is named, or of the question's model; where there is none, all charts. */
export async function monitoringAnswer(
  { extract: paths, mapping, monitoring: path, hospital, surgeon }: MonitoringOptions, progress: (line: string) => void,
): Promise<Monitoring | MonitoringOverview | NotMonitored> {
  const asked = parsed(MonitoringQuestion, basename(path), await existingText(path)), id = hospital ?? surgeon;
  const kind = hospital !== undefined ? 'hospital' : surgeon !== undefined ? 'surgeon' : asked.kind;
  const question: MonitoringQuestion = { ...asked, kind, model: kind === 'component' ? asked.model : null };
  return withExtract({ extract: paths, mapping }, progress, async (extract, options) => {
    await refuseUnknown(extract, { hospital: hospital === undefined ? [] : [hospital], surgeon: surgeon === undefined ? [] : [surgeon] });
    if (id === undefined && question.model === null) return monitorAll(extract, question, options);
    return monitor(extract, question, id === undefined || kind === 'component' ? null : { kind, id }, options);
  });
}
