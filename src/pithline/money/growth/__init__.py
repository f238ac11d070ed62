"""Whether the next step pays: money laid out now, machines kept, stages that hold the rest up."""
