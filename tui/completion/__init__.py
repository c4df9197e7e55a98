"""What the shell is told at a Tab: its script, how it quotes a line, and what may stand there."""
