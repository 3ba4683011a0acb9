'use client';
import { useState } from 'react';
import { Button, Form } from 'react-aria-components';
import type { MonitoringQuestion } from '../../lib/contract/monitoringQuestion';
import { formatDate } from '../../lib/reports/format';
import { TextButton } from '../parts/TextButton';
import type { Ask } from '../parts/useEdits';
import './monitoring.css';

/** The days on which reviews were closed, after which the chart starts again. */
export function Reviews({ question, ask }: { readonly question: MonitoringQuestion; readonly ask: Ask<MonitoringQuestion> }) {
  const [date, setDate] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const { reviews, restart } = question;
  if (restart === 'afterSignal') return null;
  const add = () => {
    if (date === '') { setProblem('Give the day on which the review was closed.'); return; }
    const found = ask({ ...question, reviews: [...new Set([...reviews, date])].sort() }, false);
    setProblem(found);
    if (found === null) setDate('');
  };
  return (
    <section className="reviews" aria-label="Reviews on record">
      <h2>Reviews on record</h2>
      {reviews.length > 0 && (
        <ul>
          {reviews.map((review, i) => (
            <li key={review}>
              R{i + 1}: {formatDate(review)}
              <TextButton label={`Remove the review of ${formatDate(review)}`} onPress={() => { ask({ ...question, reviews: reviews.filter((other) => other !== review) }, false); }}>Remove</TextButton>
            </li>
          ))}
        </ul>
      )}
      <Form onSubmit={(event) => { event.preventDefault(); add(); }}>
        <label>A review was closed on<input type="date" value={date} onChange={(event) => { setDate(event.currentTarget.value); }} /></label>
        <Button type="submit">Add the review</Button>
      </Form>
      {problem !== null && <p className="problem" role="alert">{problem}</p>}
      <p className="help">From that day on the chart starts again from 0. Add only reviews whose result is recorded: a date that is put in to lower the chart hides what it is for.</p>
    </section>
  );
}
