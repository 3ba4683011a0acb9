'use client';
import { Problems } from './parts/Problems';
import { TextButton } from './parts/TextButton';

/** A view that failed says so; the registry stays loaded. */
export default function PageError({ error, reset }: { readonly error: Error; readonly reset: () => void }) {
  return <Problems heading="This page could not be drawn" problems={[error.message]} after={<TextButton onPress={reset}>Try again</TextButton>} />;
}
