'use client';
import type { ReactNode } from 'react';
import { Button } from 'react-aria-components';
import './TextButton.css';

interface Props {
  /** What it does, for those who do not see where it stands; contains the visible words. */
  readonly label?: string;
  readonly onPress: () => void;
  readonly isDisabled?: boolean;
  readonly children: ReactNode;
}

/** A quiet action beside a text. */
export function TextButton({ label, onPress, isDisabled = false, children }: Props) {
  return <Button className="text-button" {...(label !== undefined && { 'aria-label': label })} onPress={onPress} isDisabled={isDisabled}>{children}</Button>;
}
