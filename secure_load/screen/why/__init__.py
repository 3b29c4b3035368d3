"""Why a weight is judged as it is: the chain of figures, line by line."""
